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

// The frame, moved out by `spare` of its own sides, as numbers of things; the frame itself is `wide` pixels wide. A camera's
// view is wider than its frame where that lies off the lens's axis: its extras say where it lies.
function picture(scene, camera, wide, spare) {
  const { frame_left, frame_right, frame_foot, frame_top, frame_on_sensor_wide_mm, frame_on_sensor_tall_mm } = camera.userData;
  const tall = Math.round(wide * frame_on_sensor_tall_mm / frame_on_sensor_wide_mm);
  const viewWide = wide * 2 / (frame_right - frame_left), viewTall = tall * 2 / (frame_top - frame_foot);
  const outWide = Math.round(wide * (1 + 2 * spare)), outTall = Math.round(tall * (1 + 2 * spare));
  const view = camera.clone();
  camera.matrixWorld.decompose(view.position, view.quaternion, view.scale);
  view.setViewOffset(viewWide, viewTall, (frame_left + 1) / 2 * viewWide - (outWide - wide) / 2,
    (1 - frame_top) / 2 * viewTall - (outTall - tall) / 2, outWide, outTall);
  const target = new THREE.WebGLRenderTarget(outWide, outTall,
    { samples: 0, minFilter: THREE.NearestFilter, magFilter: THREE.NearestFilter });
  renderer.setRenderTarget(target);
  renderer.render(scene, view);
  const pixels = new Uint8Array(4 * outWide * outTall);
  renderer.readRenderTargetPixels(target, 0, 0, outWide, outTall, pixels);
  target.dispose();
  return pixels;
}

// Shares of a picture by number; where `where` is given, only of pixels that have that number there.
function sharesOf(pixels, where = null, number = 0) {
  const shares = new Float64Array(256);
  for (let i = 0; i < pixels.length; i += 4) if (!where || where[i] === number) shares[pixels[i]] += 4 / pixels.length;
  return shares;
}

const show = (things, shown) => things.forEach((thing) => thing.meshes.forEach((mesh) => { mesh.visible = shown(thing); }));

// Nothing, or the base alone, or the ground's cut edges.
function bareOf(things, pixels) {
  const shares = sharesOf(pixels);
  let edges = 0;
  for (let i = 1; i < pixels.length; i += 4) edges += pixels[i] > 0 ? 4 / pixels.length : 0;
  return things.filter((thing) => thing.kind === 'base').reduce((sum, thing) => sum + shares[thing.number], shares[0] + edges);
}

// Through a planned camera also each thing alone, and what then covers it.
function lookAlone(scene, things, camera, wide, thing, pixels) {
  show(things, (other) => other === thing);
  const alone = picture(scene, camera, wide, 0);
  const over = sharesOf(pixels, alone, thing.number);
  const hides = things.filter((other) => other !== thing && over[other.number] > 0);
  return {
    alone: sharesOf(alone)[thing.number],
    hidden: Object.fromEntries(hides.map((other) => [other.name, over[other.number]])),
  };
}

function look(scene, things, camera, wide, spare) {
  const here = things.filter((thing) => thing.shots === null || thing.shots.includes(camera.userData.shot));
  show(things, (thing) => here.includes(thing));
  const pixels = picture(scene, camera, wide, 0);
  const shares = sharesOf(pixels);
  const seen = {
    bare: bareOf(things, pixels),
    bareSpare: bareOf(things, picture(scene, camera, wide, spare)),
    things: here.map((thing) => ({ name: thing.name, kind: thing.kind, share: shares[thing.number] })),
  };
  if (!camera.userData.planned) return seen;
  here.forEach((thing, i) => {
    if (!['ground', 'base', 'backdrop'].includes(thing.kind)) Object.assign(seen.things[i], lookAlone(scene, things, camera, wide, thing, pixels));
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
