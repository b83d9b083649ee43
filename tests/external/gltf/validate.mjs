// Every model is valid glTF 2.0 by the Khronos validator: no error and no warning.
// usage: node validate.mjs FOLDER...
import fs from 'node:fs';
import path from 'node:path';
import validator from 'gltf-validator';

const severities = ['error', 'warning', 'information', 'hint'];

async function issues(name, bytes) {
  const report = await validator.validateBytes(new Uint8Array(bytes), { uri: name, maxIssues: 50, writeTimestamp: false });
  return report.issues;
}

const files = process.argv.slice(2).flatMap((folder) =>
  fs.readdirSync(folder).filter((name) => name.endsWith('.glb')).sort().map((name) => path.join(folder, name)));
if (files.length < 2) throw new Error(`no models in ${process.argv.slice(2).join(', ')}`);

let bad = 0;
for (const file of files) {
  const found = await issues(path.basename(file), fs.readFileSync(file));
  if (found.numErrors + found.numWarnings === 0) continue;
  bad++;
  console.error(file);
  for (const m of found.messages) console.error(`  ${severities[m.severity]} ${m.code} ${m.pointer ?? m.offset}: ${m.message}`);
}

// The validator must be able to say no: a file with a byte of its geometry changed, and one cut short.
const sound = fs.readFileSync(files[0]);
const changed = Buffer.from(sound);
const text = changed.readUInt32LE(12);
changed.writeFloatLE(1e6, 20 + text + 8);
for (const [what, bytes] of [['a changed vertex', changed], ['a cut file', sound.subarray(0, sound.length - 64)]]) {
  const found = await issues('broken.glb', bytes).catch(() => ({ numErrors: 1 }));
  if (found.numErrors === 0) {
    console.error(`${what} passes unseen`);
    bad++;
  }
}
console.log(`${files.length} models, ${bad} bad`);
process.exit(bad ? 1 : 0);
