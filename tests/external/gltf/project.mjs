// Named points, seen through the models' own cameras by three.js, land where the facts say that the drawing has them;
// and the meshes have a vertex at each of them. Allowed cameras draw the leading one where the planned one does
// (docs/geometry.md, rule 22).
// usage: node project.mjs FOLDER...      (models and the facts beside them, as --json writes them)
import fs from 'node:fs';
import path from 'node:path';
import { Vector3 } from 'three';
import { GLTFLoader } from 'three/examples/jsm/loaders/GLTFLoader.js';

const MOST_MM = 0.05;
globalThis.self = globalThis; // the loader asks a browser for its URL functions

function load(file) {
  const bytes = fs.readFileSync(file);
  const data = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength);
  return new Promise((resolve, reject) => new GLTFLoader().parse(data, '', resolve, reject));
}

const world = ([across, back, up]) => new Vector3(across / 1000, up / 1000, -back / 1000);

// From a camera's view to the drawing: the frame lies in the view where the camera's extras say, and is drawn_per_sensor
// times its size on the sensor wide on the drawing, about its middle.
function onDrawing(camera, facts, point) {
  const seen = world(point).project(camera);
  const { frame_left, frame_right, frame_foot, frame_top } = camera.userData;
  const [wide, tall] = facts.frame_on_sensor_mm.map((mm) => mm * facts.drawn_per_sensor);
  return [
    facts.drawing_mm[0] / 2 + ((seen.x - frame_left) / (frame_right - frame_left) - 0.5) * wide,
    facts.drawing_mm[1] / 2 + ((seen.y - frame_foot) / (frame_top - frame_foot) - 0.5) * tall,
  ];
}

// Whose vertices a thing has: those of every node that bears its name, with all that is under it.
function verticesOf(scene, thing) {
  const found = [];
  const collect = (object) => object.traverse((part) => {
    if (!part.isMesh) return;
    const at = part.geometry.attributes.position;
    for (let i = 0; i < at.count; i++) found.push(new Vector3().fromBufferAttribute(at, i).applyMatrix4(part.matrixWorld));
  });
  scene.traverse((object) => { if (object.userData.kind && object.userData.kind !== 'camera' && object.userData.name === thing) collect(object); });
  return found;
}

const nearest = (vertices, at) => 1000 * Math.min(...vertices.map((v) => v.distanceTo(at)));

const count = { points: 0, vertices: 0, traced: 0, allowed: 0, scenes: 0 };
const faults = [];

function checkPoint(camera, facts, point, where) {
  const [x, y] = onDrawing(camera, facts, point.set);
  const off = Math.hypot(x - point.drawing[0], y - point.drawing[1]);
  if (!(off < MOST_MM)) faults.push(`${where}: ${point.thing} ${point.point} is drawn at ${x.toFixed(3)}, ${y.toFixed(3)}, not at ${point.drawing}`);
}

// A traced outline has no corner there, but touches its box on every side: something is plumb over or under each, and something level.
function fromBox(vertices, at) {
  const plumb = Math.min(...vertices.map((v) => Math.hypot(v.x - at.x, v.z - at.z)));
  return 1000 * Math.max(plumb, Math.min(...vertices.map((v) => Math.abs(v.y - at.y))));
}

const PLAIN_BOX = 24; // vertices

function checkVertex(scene, facts, point, where) {
  if (['mark', 'frame'].includes(point.thing) || point.point === 'eyes') return; // no corner of any solid
  const vertices = verticesOf(scene, point.thing);
  const cutout = facts.blocks.some((b) => b.name === point.thing && b.facts.shape === 'cutout') && vertices.length > PLAIN_BOX;
  if (cutout) count.traced++;
  const off = (cutout ? fromBox : nearest)(vertices, world(point.set));
  count.vertices++;
  if (!(off < MOST_MM)) faults.push(`${where}: no vertex at ${point.thing} ${point.point}; the nearest is ${off.toFixed(3)} mm away`);
}

async function checkScene(base) {
  const facts = JSON.parse(fs.readFileSync(`${base}.json`, 'utf8'));
  const model = await load(`${base}.glb`);
  const where = path.basename(base);
  model.scene.updateMatrixWorld(true);
  const cameraOf = (id) => model.cameras.find((camera) => camera.name === id);
  for (const own of facts.cameras) {
    const camera = cameraOf(own.id);
    if (!camera) { faults.push(`${where}: no camera ${own.id}`); continue; }
    const points = facts.points.filter((point) => point.shot === own.shot && point.drawing);
    if (own.planned) {
      for (const point of points) { checkPoint(camera, own, point, where); checkVertex(model.scene, facts, point, where); count.points++; }
    } else {
      const mark = points.find((point) => point.thing === 'mark');
      checkPoint(camera, own, mark, `${where}, ${own.name}`);
      count.allowed++;
    }
  }
  if (model.cameras.length !== facts.cameras.length) faults.push(`${where}: ${model.cameras.length} cameras, not ${facts.cameras.length}`);
  if (model.cameras[0].name !== facts.cameras[0].id) faults.push(`${where}: the planned camera is not the first`);
  count.scenes++;
}

for (const folder of process.argv.slice(2)) {
  const names = fs.readdirSync(folder).filter((name) => name.endsWith('.json')).sort();
  for (const name of names) await checkScene(path.join(folder, name.slice(0, -5)));
}
for (const fault of faults.slice(0, 40)) console.error(fault);
console.log(`${count.scenes} scenes: ${count.points} points, ${count.vertices} vertices, ${count.traced} of traced outlines, ${count.allowed} allowed cameras; ${faults.length} faults`);
process.exit(faults.length === 0 && count.scenes > 2 && count.points > 100 && count.vertices > 60 && count.traced >= 4 && count.allowed > 4 ? 0 : 1);
