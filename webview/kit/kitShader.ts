import { pass, shading } from '../turntable/shaders.ts';

/** GLSL of a part of the figure: its group's colour and pattern. `home` is how far it was pulled, so that the pattern goes with it. */
export const kitFragment = /* glsl */ `
${pass}
${shading}
uniform vec3 colour;
uniform vec3 inkColour;
uniform vec3 pickedColour;
uniform vec3 home;
uniform int pattern;
uniform bool picked;
uniform float mmPerPixel;

float bands(float phase, float reach) {
  return 1.0 - smoothstep(reach, reach + 1.5 * fwidth(phase), abs(fract(phase) - 0.5));
}

float lines(float phase) {
  return bands(phase, 0.16);
}

// In the order of the list of patterns.
float ink(vec3 p) {
  vec3 q = p / exp2(ceil(log2(10.0 * mmPerPixel)));
  float across = dot(q, vec3(0.577, -0.577, 0.577));
  float slanted = lines(across);
  float leaning = lines(dot(q, vec3(0.577, -0.577, -0.577)));
  if (pattern == 1) return slanted;
  if (pattern == 2) return max(slanted, leaning);
  if (pattern == 3) return 1.0 - smoothstep(0.3, 0.36, length(fract(q) - 0.5));
  if (pattern == 4) return lines(q.z);
  if (pattern == 5) return lines(0.707 * (q.x + q.y));
  if (pattern == 6) return leaning * bands(0.5 * across, 0.26);
  return 0.0;
}

void main() {
  vec3 normal = shadingNormal();
  vec3 shaded = litColour(mix(colour, inkColour, 0.55 * ink(printPosition - home)), normal);
  float rim = 1.0 - abs(dot(normal, normalize(viewPosition)));
  gl_FragColor = vec4(picked ? mix(shaded, pickedColour, 0.35 + 0.65 * smoothstep(0.5, 0.75, rim)) : shaded, 1.0);
}
`;
