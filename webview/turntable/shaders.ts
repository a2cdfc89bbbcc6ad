/** GLSL of the turntable. All positions are print frame, mm; colours go to the screen as they are. */

// Sampled inside the triangle: extrapolated to a pixel's centre at a silhouette, the position could
// fall on the wrong side of the cut, and the stencil would miscount.
const pass = /* glsl */ `
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

export const surfaceFragment = /* glsl */ `
${pass}
${removal}
uniform vec3 colour;
uniform bool seeThrough;
uniform bool keepInsideOpenings;

/** The smooth normal, unless the facet itself turns away from it: then the edge is a sharp one. */
vec3 shadingNormal() {
  vec3 facet = normalize(cross(dFdx(viewPosition), dFdy(viewPosition)));
  vec3 smoothed = normalize(viewNormal);
  if (dot(smoothed, facet) < 0.0) smoothed = -smoothed;
  return dot(smoothed, facet) > 0.8 ? smoothed : facet;
}

void main() {
  if (cutAway(printPosition)) discard;
  if (!keepInsideOpenings && insideOpening(printPosition)) discard;
  vec3 normal = shadingNormal();
  float lit = max(dot(normal, normalize(vec3(-0.4, 0.55, 0.75))), 0.0);
  float rim = 1.0 - abs(dot(normal, normalize(viewPosition)));
  vec3 shaded = colour * (0.42 + 0.58 * lit);
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
