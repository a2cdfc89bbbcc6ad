/** GLSL of the turntable. All positions are print frame, mm; colours go to the screen as they are. */

// Sampled inside the triangle: extrapolated to a pixel's centre at a silhouette, the position could
// fall on the wrong side of the cut, and the stencil would miscount.
export const pass = /* glsl */ `
centroid varying vec3 printPosition;
varying vec3 viewPosition;
varying vec3 viewNormal;
`;

/**
 * With PACKED, a vertex is that of a `PackedSurface`: steps from an origin along the axes, and the
 * octahedral normal in two bytes (see `octahedralNormal.ts`).
 */
export const surfaceVertex = /* glsl */ `
${pass}
#ifdef PACKED
attribute vec4 packedVertex;
uniform vec4 placing;

vec3 unpackNormal(float code) {
  float high = floor(code / 256.0);
  vec2 square = vec2(code - 256.0 * high, high) / 127.0 - 1.0;
  vec3 n = vec3(square, 1.0 - abs(square.x) - abs(square.y));
  float fold = max(-n.z, 0.0);
  n.xy += vec2(n.x < 0.0 ? fold : -fold, n.y < 0.0 ? fold : -fold);
  return n;
}
#endif

void main() {
#ifdef PACKED
  vec4 world = modelMatrix * vec4(placing.xyz + placing.w * packedVertex.xyz, 1.0);
  viewNormal = normalMatrix * unpackNormal(packedVertex.w);
#else
  vec4 world = modelMatrix * vec4(position, 1.0);
  viewNormal = normalMatrix * normal;
#endif
  vec4 view = viewMatrix * world;
  printPosition = world.xyz;
  viewPosition = view.xyz;
  gl_Position = projectionMatrix * view;
}
`;

/**
 * Discards what is cut away, and what an opening's cylinder takes: from `outward` before its mouth
 * to its depth. One opening is three texels: mouth and the square of how far the cylinder reaches
 * from there, axis and depth, outward and the square of the radius. Nearly all points are out of
 * reach, which the first texel tells.
 */
const removal = /* glsl */ `
uniform vec4 cut;
uniform bool cutOn;
uniform highp sampler2D openingData;
uniform int openingCount;

bool cutAway(vec3 p) {
  return cutOn && dot(p, cut.xyz) > cut.w;
}

bool insideOpening(vec3 p) {
  for (int i = 0; i < openingCount; i++) {
    vec4 mouth = texelFetch(openingData, ivec2(3 * i, 0), 0);
    vec3 from = p - mouth.xyz;
    if (dot(from, from) > mouth.w) continue;
    vec4 axis = texelFetch(openingData, ivec2(3 * i + 1, 0), 0);
    vec2 size = texelFetch(openingData, ivec2(3 * i + 2, 0), 0).xy;
    float along = dot(from, axis.xyz);
    vec3 across = from - along * axis.xyz;
    if (along >= -size.x && along <= axis.w && dot(across, across) < size.y) return true;
  }
  return false;
}
`;

/**
 * How far inside an outline of the show side a point lies, mm; far below 0 where it is on none. The
 * same rule as `core/showSide`, whose constants stand here too: within the polygon as seen along its
 * facing, looking that way, and neither far over nor far under the lid of mean value coordinates.
 */
const marked = /* glsl */ `
uniform highp sampler2D showData;
uniform int showCount;
uniform vec3 showColour;
uniform float mmPerPixel;

vec4 showTexel(int n) {
  return texelFetch(showData, ivec2(n % 1024, n / 1024), 0);
}

float insideShow(vec3 p, vec3 outward) {
  float most = -1e9;
  for (int i = 0; i < showCount; i++) {
    vec4 facing = showTexel(4 * i + 1);
    if (dot(outward, facing.xyz) < 0.1) continue;
    vec4 origin = showTexel(4 * i);
    vec4 u = showTexel(4 * i + 2);
    vec4 v = showTexel(4 * i + 3);
    vec3 from = p - origin.xyz;
    vec2 q = vec2(dot(from, u.xyz), dot(from, v.xyz));
    if (dot(q, q) > u.w) continue;
    int count = int(origin.w);
    int first = int(facing.w);
    vec3 before = showTexel(first + count - 1).xyz - vec3(q, 0.0);
    bool inside = false;
    float apart2 = 1e18;
    float weights = 0.0;
    float heights = 0.0;
    for (int n = 0; n < count; n++) {
      vec3 corner = showTexel(first + n).xyz - vec3(q, 0.0);
      vec2 edge = corner.xy - before.xy;
      float share = clamp(-dot(before.xy, edge) / max(dot(edge, edge), 1e-12), 0.0, 1.0);
      vec2 nearest = before.xy + share * edge;
      apart2 = min(apart2, dot(nearest, nearest));
      bool crosses = before.y > 0.0 != corner.y > 0.0;
      if (crosses && (before.x * edge.y > before.y * edge.x) == (edge.y > 0.0)) inside = !inside;
      float area = before.x * corner.y - before.y * corner.x;
      float alike = dot(before.xy, corner.xy);
      float la = max(length(before.xy), 1e-6);
      float lb = max(length(corner.xy), 1e-6);
      float tangent = alike > 0.0 ? area / (la * lb + alike) : area == 0.0 ? 0.0 : (la * lb - alike) / area;
      weights += tangent * (1.0 / la + 1.0 / lb);
      heights += tangent * (before.z / la + corner.z / lb);
      before = corner;
    }
    if (!inside) continue;
    float over = dot(from, facing.xyz) - (weights == 0.0 ? 0.0 : heights / weights);
    if (over > v.w || over < -0.6 * v.w) continue;
    most = max(most, sqrt(apart2));
  }
  return most;
}

/** A hatch, and a firm line along the outline. */
float showInk(vec3 p, vec3 outward) {
  float depth = insideShow(p, outward);
  if (depth < 0.0) return 0.0;
  if (depth < 2.5 * mmPerPixel) return 1.0;
  float pitch = exp2(ceil(log2(9.0 * mmPerPixel)));
  float phase = dot(p, vec3(0.577, -0.577, 0.577)) / pitch;
  return smoothstep(0.3, 0.4, abs(fract(phase) - 0.5)) * 0.75;
}
`;

/** How a surface is lit, in its fragment shader after `pass`. */
export const shading = /* glsl */ `
/** The smooth normal, unless the facet itself turns away from it: then the edge is a sharp one. */
vec3 shadingNormal() {
  vec3 facet = normalize(cross(dFdx(viewPosition), dFdy(viewPosition)));
  vec3 smoothed = normalize(viewNormal);
  if (dot(smoothed, facet) < 0.0) smoothed = -smoothed;
  return dot(smoothed, facet) > 0.8 ? smoothed : facet;
}

vec3 litColour(vec3 colour, vec3 normal) {
  float lit = max(dot(normal, normalize(vec3(-0.4, 0.55, 0.75))), 0.0);
  return colour * (0.42 + 0.58 * lit);
}
`;

export const surfaceFragment = /* glsl */ `
${pass}
${removal}
${marked}
${shading}
uniform vec3 colour;
uniform bool seeThrough;
uniform bool keepInsideOpenings;

void main() {
  if (cutAway(printPosition)) discard;
  if (!keepInsideOpenings && insideOpening(printPosition)) discard;
  vec3 normal = shadingNormal();
  float rim = 1.0 - abs(dot(normal, normalize(viewPosition)));
  vec3 shaded = litColour(colour, normal);
  if (showCount > 0) {
    vec3 outward = normalize(cross(dFdx(printPosition), dFdy(printPosition)));
    shaded = mix(shaded, showColour, showInk(printPosition, gl_FrontFacing ? outward : -outward));
  }
  gl_FragColor = seeThrough ? vec4(colour, mix(0.07, 0.6, rim * rim)) : vec4(shaded, 1.0);
}
`;

/** Counts for the stencil: only what is discarded matters. Openings are left to the section itself. */
export const countFragment = /* glsl */ `
${pass}
${removal}
void main() {
  if (cutAway(printPosition)) discard;
  gl_FragColor = vec4(0.0);
}
`;

export const uniteFragment = /* glsl */ `
void main() {
  gl_FragColor = vec4(0.0);
}
`;

export const sectionFragment = /* glsl */ `
${pass}
${removal}
uniform vec3 colour;
uniform vec3 hatchColour;
uniform vec3 across;
uniform float pitch;

void main() {
  if (insideOpening(printPosition)) discard;
  float phase = dot(printPosition, across) / pitch;
  float soft = fwidth(phase);
  float line = abs(fract(phase) - 0.5);
  float ink = 1.0 - smoothstep(0.1, 0.1 + 1.5 * soft, line);
  gl_FragColor = vec4(mix(colour, hatchColour, ink), 1.0);
}
`;

/** A picture that was drawn beside the canvas, onto it as it is. */
export const copyVertex = /* glsl */ `
varying vec2 place;
void main() {
  place = uv;
  gl_Position = vec4(position.xy, 0.0, 1.0);
}
`;

export const copyFragment = /* glsl */ `
varying vec2 place;
uniform sampler2D picture;
void main() {
  gl_FragColor = vec4(texture2D(picture, place).rgb, 1.0);
}
`;

/** Rims of mouths: every other segment is left out of one whose mouth faces away from the camera. */
export const rimVertex = /* glsl */ `
attribute vec4 plane;
attribute float gap;
varying float leftOut;

void main() {
  bool facesAway = dot(plane.xyz, cameraPosition) < plane.w;
  leftOut = facesAway ? gap : 0.0;
  gl_Position = projectionMatrix * viewMatrix * vec4(position, 1.0);
}
`;

export const rimFragment = /* glsl */ `
uniform vec3 colour;
varying float leftOut;

void main() {
  if (leftOut > 0.5) discard;
  gl_FragColor = vec4(colour, 1.0);
}
`;
