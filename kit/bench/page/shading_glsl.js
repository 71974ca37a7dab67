/** One triangle that covers the picture. */
export const VERTEX = `#version 300 es
void main() {
  gl_Position = vec4(gl_VertexID == 1 ? 3.0 : -1.0, gl_VertexID == 2 ? 3.0 : -1.0, 0.0, 1.0);
}`;

/** The sum at the head of kit/look/layers.py, for one pixel; a test holds both together. */
export const FRAGMENT = `#version 300 es
precision highp float;
precision highp int;
precision highp sampler2D;

uniform sampler2D build, pair0, pair1, pair2, mirrored, even, coat, passes;
uniform int colors, rows;
uniform bool above;
uniform vec4 k[12], s[12], ground[2], toRgb[6];
uniform vec3 face[6], flop[6], warmth;
uniform float exposure, power, soft, through, body, faceShare, flopShare, flakeShare, veilWeight, inside, straight, atOnce, later;
out vec4 color;

// Kubelka and Munk's film of K and S, so thick, on a ground, in four bands.
vec4 laid(vec4 k, vec4 s, float thick, vec4 under) {
  vec4 a = k + s;
  vec4 z = sqrt(max((a - s) * (a + s), 1e-12));
  vec4 t = tanh(min(z * thick, 15.0)) / z;
  return (t * (s - under * a) + under) / (t * (a - under * s) + 1.0);
}

vec3 film(ivec2 at, out vec3 faces, out vec3 flops, out float cover) {
  vec2 built = texelFetch(build, at, 0).rg;
  vec4 shares[3];
  shares[0] = texelFetch(pair0, at, 0);
  shares[1] = texelFetch(pair1, at, 0);
  shares[2] = texelFetch(pair2, at, 0);
  float low = flakeShare * (1.0 - exp(-1.5 * built.x * built.x)) * exp(-0.9 * built.y);
  float high = flakeShare * 0.55 * (1.0 - exp(-1.1 * built.y));
  cover = low + high;
  vec4 lowK[2], lowS[2], highK[2], highS[2];
  for (int b = 0; b < 2; b++) { lowK[b] = vec4(0); lowS[b] = vec4(0); highK[b] = vec4(0); highS[b] = vec4(0); }
  faces = vec3(0);
  flops = vec3(0);
  vec2 left = vec2(1);
  for (int p = 0; p < colors; p++) {
    vec4 four = shares[min(p / 2, 2)];
    vec2 own = p == colors - 1 ? left : p % 2 == 0 ? four.rb : four.ga;
    left -= own;
    for (int b = 0; b < 2; b++) {
      lowK[b] += own.x * k[2 * p + b];
      lowS[b] += own.x * s[2 * p + b];
      highK[b] += own.y * k[2 * p + b];
      highS[b] += own.y * s[2 * p + b];
    }
    float covered = low * own.x + high * own.y;
    faces += covered * face[p];
    flops += covered * flop[p];
  }
  vec3 sent = vec3(0);
  for (int b = 0; b < 2; b++) {
    vec4 top = laid(lowK[b], lowS[b], built.x, ground[b]);
    top = laid(highK[b], highS[b], veilWeight * built.y, top);
    top /= 1.0 - inside * top;
    sent += vec3(dot(toRgb[b], top), dot(toRgb[2 + b], top), dot(toRgb[4 + b], top));
  }
  return (1.0 - inside) * (1.0 - cover) * max(sent, 0.0);
}

// What film and flakes send out but for what flakes mirror straight out: see sent_later.
vec3 sentLater(vec3 sent, vec3 back, float cover) {
  float bare = 1.0 - cover, leaves = 1.0 - inside;
  vec3 some = max(bare * leaves + inside * sent, 1e-6);
  vec3 kept = inside * bare * sent;
  vec3 again = kept + (1.0 - atOnce * straight) * back * some;
  vec3 rest = some - kept - (1.0 - later) * back * some;
  vec3 first = leaves * bare * sent * (1.0 + (later - atOnce * straight) * back);
  return (first + later * back * again) / rest;
}

vec3 onFloor(ivec2 at) {
  vec3 faces, flops;
  float cover;
  vec3 sent = film(at, faces, flops, cover);
  vec3 met = texelFetch(mirrored, at, 0).rgb;
  if (above)
    return through * warmth * met.b * (body * sent + met.r * faces + met.g * flops);
  vec3 lit = texelFetch(even, at, 0).rgb;
  vec3 back = faceShare * faces;
  return (sentLater(sent, back, cover) + flopShare * flops) * lit + straight * back * met;
}

// Luminance held back, then one curve on it; what is then too vivid moves towards its own grey.
vec3 screened(vec3 light) {
  float y = max(dot(light, vec3(0.2126, 0.7152, 0.0722)), 1e-7);
  float t = 1.0 - exp(-pow(y / (1.0 + soft * y), power));
  vec3 rgb = light * (t / y);
  float over = max(rgb.r, max(rgb.g, rgb.b));
  float kept = over > 1.0 ? (1.0 - t) / (over - t) : 1.0;
  return clamp(t + (rgb - t) * kept, 0.0, 1.0);
}

void main() {
  ivec2 at = ivec2(int(gl_FragCoord.x), rows - 1 - int(gl_FragCoord.y));
  vec3 light = texelFetch(coat, at, 0).rgb;
  float passed = texelFetch(passes, at, 0).r;
  if (passed > 0.0) light += passed * onFloor(at);
  vec3 rgb = screened(max(light, 0.0) * exposure);
  vec3 told = mix(12.92 * rgb, 1.055 * pow(rgb, vec3(1.0 / 2.4)) - 0.055, step(0.0031308, rgb));
  color = vec4(told, 1.0);
}`;
