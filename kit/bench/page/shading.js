import { FRAGMENT, VERTEX } from "./shading_glsl.js";

const MOST_FILMS = 2;
const MOST_COLORS = 6;
const UNITS = ["build", "pair0", "pair1", "pair2", "mirrored", "even", "coat", "passes"];

/**
 * Shade the floor from its plates on the graphics processor, or null where it cannot.
 *
 * `keep` takes a plate as Python sends it, `can` tells whether all plates of a look are
 * here, and `paint` draws one side of a look onto a plain canvas.
 */
export function shading() {
  const canvas = document.createElement("canvas");
  const gl = canvas.getContext("webgl2", { alpha: false, antialias: false, depth: false });
  if (!gl) return null;
  const program = linked(gl);
  if (!program) return null;
  const at = (name) => gl.getUniformLocation(program, name);
  const films = new Map();
  let lost = false;
  canvas.addEventListener("webglcontextlost", () => { lost = true; films.clear(); });

  gl.useProgram(program);
  UNITS.forEach((name, unit) => gl.uniform1i(at(name), unit));
  gl.pixelStorei(gl.UNPACK_ALIGNMENT, 1);

  const half = (texels, width, height, channels) => texture(gl, {
    inner: channels === 2 ? gl.RG16F : gl.RGBA16F, outer: channels === 2 ? gl.RG : gl.RGBA,
    type: gl.HALF_FLOAT, texels: view(texels, Uint16Array), width, height });
  const light = (texels, width, height) => texture(gl, { inner: gl.RGB9_E5, outer: gl.RGB,
    type: gl.UNSIGNED_INT_5_9_9_9_REV, texels: view(texels, Uint32Array), width, height });
  const part = (texels, width, height) => texture(gl, { inner: gl.R8, outer: gl.RED,
    type: gl.UNSIGNED_BYTE, texels: view(texels, Uint8Array), width, height });

  function keep(words, textures) {
    if (lost) return;
    if (words.what === "film") {
      forget(words.film);
      const [width, height] = words.size;
      const [build, ...pairs] = textures;
      films.set(words.film, { width, height, lights: new Map(), coats: new Map(),
        build: half(build, width, height, 2),
        pairs: pairs.map((pair) => half(pair, width, height, 4)) });
      for (const number of [...films.keys()].sort((a, b) => a - b).slice(0, -MOST_FILMS))
        forget(number);
      return;
    }
    const film = films.get(words.film);
    if (!film) return;
    const [first, second] = textures;
    const { width, height } = film;
    const shelf = words.what === "light" ? film.lights : film.coats;
    const key = `${words.mood}|${words.finish}`;
    shelf.get(key)?.textures.forEach((one) => gl.deleteTexture(one));
    shelf.set(key, { form: words.form, textures: [light(first, width, height),
      words.what === "light" ? light(second, width, height) : part(second, width, height)] });
  }

  function forget(number) {
    const film = films.get(number);
    if (!film) return;
    films.delete(number);
    const kept = [...film.lights.values(), ...film.coats.values()].flatMap((one) => one.textures);
    for (const one of [film.build, ...film.pairs, ...kept]) gl.deleteTexture(one);
  }

  function plates(look, side) {
    const film = films.get(side.film);
    const key = `${look.mood}|${side.finish}`;
    const coat = film?.coats.get(key);
    const lit = film && (film.lights.get(key) ?? film.lights.get("|"));
    return coat && lit ? { film, coat, lit } : null;
  }

  const can = (look) => !lost && Boolean(look.sides?.length)
    && look.sides.every((side) => plates(look, side));

  /** Draw one side of a look onto a canvas, at the size of its film. */
  function paint(look, side, optics, onto) {
    const { film, coat, lit } = plates(look, side);
    const { form } = coat;
    canvas.width = film.width;
    canvas.height = film.height;
    gl.viewport(0, 0, film.width, film.height);
    const pair = (i) => film.pairs[Math.min(i, film.pairs.length - 1)];
    [film.build, pair(0), pair(1), pair(2), ...lit.textures, ...coat.textures].forEach((one, unit) => {
      gl.activeTexture(gl.TEXTURE0 + unit);
      gl.bindTexture(gl.TEXTURE_2D, one);
    });
    const pigments = side.pigments.map((key) => optics.pigments[key]);
    const all = (name, size) => {
      const out = new Float32Array(size * MOST_COLORS);
      pigments.forEach((pigment, i) => out.set(pigment[name], size * i));
      return out;
    };
    gl.uniform4fv(at("k"), all("k", 8));
    gl.uniform4fv(at("s"), all("s", 8));
    gl.uniform3fv(at("face"), all("face", 3));
    gl.uniform3fv(at("flop"), all("flop", 3));
    gl.uniform4fv(at("ground"), optics.tints[side.tint]);
    gl.uniform4fv(at("toRgb"), optics.toRgb.flat());
    gl.uniform1i(at("colors"), form.colors);
    gl.uniform1i(at("rows"), film.height);
    gl.uniform1i(at("above"), form.shape === "above" ? 1 : 0);
    gl.uniform3fv(at("warmth"), form.warmth);
    for (const name of ["exposure", "power", "soft", "through", "body", "faceShare", "flopShare",
      "flakeShare", "veilWeight", "inside", "straight", "atOnce", "later"]) gl.uniform1f(at(name), form[name]);
    gl.drawArrays(gl.TRIANGLES, 0, 3);
    onto.width = film.width;
    onto.height = film.height;
    onto.getContext("2d").drawImage(canvas, 0, 0);
  }

  return { keep, can, paint, close: () => gl.getExtension("WEBGL_lose_context")?.loseContext() };
}

/** The bytes of a message as numbers of another kind, whatever place they start at. */
function view(bytes, Kind) {
  const { buffer, byteOffset, byteLength } = bytes;
  const whole = byteOffset % Kind.BYTES_PER_ELEMENT ? buffer.slice(byteOffset, byteOffset + byteLength) : null;
  return whole ? new Kind(whole) : new Kind(buffer, byteOffset, byteLength / Kind.BYTES_PER_ELEMENT);
}

function texture(gl, { inner, outer, type, texels, width, height }) {
  const made = gl.createTexture();
  gl.bindTexture(gl.TEXTURE_2D, made);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.NEAREST);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, gl.NEAREST);
  gl.texImage2D(gl.TEXTURE_2D, 0, inner, width, height, 0, outer, type, texels);
  return made;
}

function linked(gl) {
  const program = gl.createProgram();
  for (const [kind, source] of [[gl.VERTEX_SHADER, VERTEX], [gl.FRAGMENT_SHADER, FRAGMENT]]) {
    const shader = gl.createShader(kind);
    gl.shaderSource(shader, source);
    gl.compileShader(shader);
    gl.attachShader(program, shader);
  }
  gl.linkProgram(program);
  return gl.getProgramParameter(program, gl.LINK_STATUS) ? program : null;
}
