// In the browser: three.js renders a model through its own cameras, each thing in a flat colour of its own, and counts
// pixels. seenIn(url, wide, spares) is for seen_by_three.mjs, which compares.
import * as THREE from 'three';
import { GLTFLoader } from '/three/examples/jsm/loaders/GLTFLoader.js';

const renderer = new THREE.WebGLRenderer({ antialias: false });
renderer.setClearColor(0x000000, 0);

// The number of a thing as a colour, written as it is: no light, no tone, no colour space. 0 is nothing. Its green tells the
// ground's cut edges and underside, which are no scenery, from its surface, which looks up.
const flat = (number, side, ground) => new THREE.ShaderMaterial({
  side,
  vertexShader: 'varying float up; void main() { up = normal.y; gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0); }',
  fragmentShader: `varying float up; void main() { gl_FragColor = vec4(${(number / 255).toFixed(6)}, ${ground ? 'up < 0.001 ? 1.0 : 0.0' : '0.0'}, 0.0, 1.0); }`,
});

// Things are nodes with a kind; what is under such a node is part of it. In scenes with shots a puppet stands in its own
// shot and in those that its extras name.
function thingsOf(scene) {
  const things = [];
  scene.traverse((node) => {
    const { kind, name, shot } = node.userData;
    if (!kind || kind === 'camera') return;
    const also = Object.keys(node.userData).filter((key) => key.startsWith('also_in_')).map((key) => key.slice('also_in_'.length));
    const meshes = [];
    node.traverse((part) => { if (part.isMesh) meshes.push(part); });
    things.push({ name, kind, shots: shot === undefined ? null : [shot, ...also], meshes });
  });
  if (things.length > 254) throw new Error('more things than colours');
  things.forEach((thing, i) => {
    thing.number = i + 1;
    for (const mesh of thing.meshes) mesh.material = flat(thing.number, mesh.material.side, thing.kind === 'ground');
  });
  return things;
}

const CUT_EDGE = 256; // added to a number: of the ground's cut edges

// The frame, `wide` pixels wide and moved out by `spare` of its own sides, as numbers of things: {numbers, wide, tall, beside,
// above}, the last two how many pixels it is moved out. A camera's view is wider than its frame where that lies off the
// lens's axis: its extras say where it lies.
function picture(scene, camera, wide, spare) {
  const { frame_left, frame_right, frame_foot, frame_top, frame_on_sensor_wide_mm, frame_on_sensor_tall_mm } = camera.userData;
  const tall = Math.round(wide * frame_on_sensor_tall_mm / frame_on_sensor_wide_mm);
  const viewWide = wide * 2 / (frame_right - frame_left), viewTall = tall * 2 / (frame_top - frame_foot);
  const beside = Math.round(wide * spare), above = Math.round(tall * spare);
  const outWide = wide + 2 * beside, outTall = tall + 2 * above;
  const view = camera.clone();
  camera.matrixWorld.decompose(view.position, view.quaternion, view.scale);
  view.setViewOffset(viewWide, viewTall, (frame_left + 1) / 2 * viewWide - beside, (1 - frame_top) / 2 * viewTall - above,
    outWide, outTall);
  const target = new THREE.WebGLRenderTarget(outWide, outTall,
    { samples: 0, minFilter: THREE.NearestFilter, magFilter: THREE.NearestFilter });
  renderer.setRenderTarget(target);
  renderer.render(scene, view);
  const pixels = new Uint8Array(4 * outWide * outTall);
  renderer.readRenderTargetPixels(target, 0, 0, outWide, outTall, pixels);
  target.dispose();
  const numbers = new Uint16Array(outWide * outTall);
  for (let i = 0; i < numbers.length; i++) numbers[i] = pixels[4 * i] + (pixels[4 * i + 1] > 0 ? CUT_EDGE : 0);
  return { numbers, wide: outWide, tall: outTall, beside, above };
}

// What of a picture lies in the frame itself.
function inFrame({ numbers, wide, tall, beside, above }) {
  const rows = [];
  for (let y = above; y < tall - above; y++) rows.push(numbers.subarray(y * wide + beside, (y + 1) * wide - beside));
  const inner = new Uint16Array(rows.length * rows[0].length);
  rows.forEach((row, i) => inner.set(row, i * row.length));
  return inner;
}

// Shares of a picture by number; where `where` is given, only of what has that number there.
function sharesOf(numbers, where = null, number = 0) {
  const counts = new Float64Array(2 * CUT_EDGE);
  for (let i = 0; i < numbers.length; i++) if (where === null || where[i] % CUT_EDGE === number) counts[numbers[i]]++;
  return counts.slice(0, CUT_EDGE).map((count, i) => (count + counts[i + CUT_EDGE]) / numbers.length);
}

const show = (things, shown) => things.forEach((thing) => thing.meshes.forEach((mesh) => { mesh.visible = shown(thing); }));

// Nothing, or the base alone, or the ground's cut edges.
function bareOf(things, numbers) {
  const base = things.filter((thing) => thing.kind === 'base').map((thing) => thing.number);
  let bare = 0;
  for (const number of numbers) if (number === 0 || number >= CUT_EDGE || base.includes(number)) bare++;
  return bare / numbers.length;
}

// Through a planned camera also each thing alone, and what then covers it.
function lookAlone(scene, things, camera, wide, thing, numbers) {
  show(things, (other) => other === thing);
  const alone = inFrame(picture(scene, camera, wide, 0));
  const over = sharesOf(numbers, alone, thing.number);
  const hides = things.filter((other) => other !== thing && over[other.number] > 0);
  return {
    alone: sharesOf(alone)[thing.number],
    hidden: Object.fromEntries(hides.map((other) => [other.name, over[other.number]])),
  };
}

function look(scene, things, camera, wide, spare) {
  const here = things.filter((thing) => thing.shots === null || thing.shots.includes(camera.userData.shot));
  show(things, (thing) => here.includes(thing));
  const withSpare = picture(scene, camera, wide, spare), numbers = inFrame(withSpare);
  const shares = sharesOf(numbers);
  const seen = {
    bare: bareOf(things, numbers),
    bareSpare: bareOf(things, withSpare.numbers),
    things: here.map((thing) => ({ name: thing.name, kind: thing.kind, share: shares[thing.number] })),
  };
  if (!camera.userData.planned) return seen;
  here.forEach((thing, i) => {
    if (!['ground', 'base', 'backdrop'].includes(thing.kind)) Object.assign(seen.things[i], lookAlone(scene, things, camera, wide, thing, numbers));
  });
  return seen;
}

// {camera's name: shares of its frame}; `spares` has each camera's spare.
globalThis.seenIn = async (url, wide, spares) => {
  const model = await new GLTFLoader().loadAsync(url);
  model.scene.updateMatrixWorld(true);
  const things = thingsOf(model.scene);
  return Object.fromEntries(model.cameras.map((camera) => [camera.name, look(model.scene, things, camera, wide, spares[camera.name])]));
};
globalThis.ready = true;
