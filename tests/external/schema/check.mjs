// The JSON Schema of the language (`groundrow words --schema`), held to Ajv (draft 2020-12) over YAML as the npm package
// `yaml` reads it, typed by YAML 1.2 and by YAML 1.1: every file of a book's folder, files that are sound though
// other tools read them typed, and broken ones, which must fail at the place that is meant.
//
//     node check.mjs GROUNDROW FOLDER
import Ajv2020 from 'ajv/dist/2020.js';
import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'yaml';

const [groundrow, folder] = process.argv.slice(2);
const schema = JSON.parse(execFileSync(groundrow, ['words', '--schema'], { encoding: 'utf8' }));
const ajv = new Ajv2020({ strictSchema: true, strictTypes: true, allowUnionTypes: true, allErrors: true });
ajv.addSchema(schema, 'language');
const validators = {
  any: ajv.getSchema('language'),
  book: ajv.getSchema('language#/$defs/book'),
  scene: ajv.getSchema('language#/$defs/scene'),
};

let faults = 0;
let checks = 0;
function fault(text) {
  faults += 1;
  console.log(text);
}

// The faults of a text by a validator, both ways of typing taken together.
function faultsOf(validate, text, version) {
  const value = JSON.parse(JSON.stringify(parse(text, { version, uniqueKeys: true })));
  return validate(value) ? [] : validate.errors.map((error) => `${error.instancePath} ${error.message}`);
}

function sound(name, kind, text) {
  for (const version of ['1.2', '1.1']) {
    for (const by of ['any', kind]) {
      checks += 1;
      const found = faultsOf(validators[by], text, version);
      if (found.length > 0) fault(`${name} (YAML ${version}, ${by}) is refused:\n  ${found.join('\n  ')}`);
    }
  }
}

// Refused, and with a fault at `place`: a JSON pointer, as Ajv writes it.
function broken(place, kind, text) {
  for (const by of ['any', kind]) {
    checks += 1;
    const found = faultsOf(validators[by], text, '1.2');
    if (!found.some((one) => one.startsWith(`${place} `)))
      fault(`not refused at \`${place}\` (${by}): ${JSON.stringify(text)}\n  ${found.join('\n  ')}`);
  }
}

const files = existsSync(folder) ? readdirSync(folder).filter((name) => name.endsWith('.yaml')) : [];
for (const name of files)
  sound(name, name === 'book.yaml' ? 'book' : 'scene', readFileSync(join(folder, name), 'utf8'));

// Typed readers make numbers and booleans of these.
sound('numbers in a book', 'book', 'book: 1984\ngroundrow: 1\ncut: 0\npage: {bleed: 0}\n');
sound('a version in quotes', 'book', 'groundrow: "1"\nbook: true\n');
sound('pages as a number', 'scene', 'scene: 12\npages: 8\n');
sound('a date for a title', 'scene', 'scene: 2024-05-01\n');
sound('a yes for a title', 'scene', 'scene: yes\n');
sound('names that YAML 1.1 reads as booleans', 'scene',
  'pieces: {on: {shape: box}, off: {atop: on, like: on}}\n');
sound('counts', 'scene', 'pieces: {a: {shape: steps, steps: 4, row: {count: 7, every: 3 in}}}\n');
sound('a size that YAML 1.1 would take for sixty times', 'scene', 'camera: {frame: 16 in, tilt: 0}\n');
sound('a point at nought', 'scene', 'mark: {drawn: {foot: [0, 0], tall: 92 mm}}\n');
sound('allowed lenses', 'scene', 'allow: {lens: [50 mm, portrait], height: 9 to 11 in, spare: 6 %}\n');
sound('a range', 'scene', 'allow: {lens: 60 to 105 mm}\n');
sound('a shot', 'scene', 'shots: {wide: {mark: {at: {across: 2 in}}}, close: {pages: 8-9}}\n');
sound('openings', 'scene', 'flats: {wall: {openings: {window: {wide: 4 in, tall: 5 in, at: {across: 0, up: 6 in}}}}}\n');
sound('other bodies, and what must be sharp', 'scene',
  'also: {test: 40 mm, hired: [50 mm, portrait]}\nsharp: [otter, ferry.front]\ncamera: {focus: {back: 3 in}}\n');
sound('a thing in focus', 'scene', 'camera: {focus: on}\n');
sound('accepted', 'scene', 'accept: [heron drawn-apart, far bank off-ground]\n');
sound('part of a mound, over that of every scene', 'scene', 'ground: {mounds: {hill: {tall: 3 in}}}\n');
sound('every scene', 'book', 'every scene: {base: {lip: 2 in}, camera: {body: hired}}\n');
sound('a book that is only a cast', 'book', 'cast: {otter: {tall: 11 in, poses: {seated: {tall: 6 in}}}}\n');

broken('', 'scene', 'scene: Fog\nmrak: {puppet: otter}\n');
broken('/camera', 'scene', 'camera: {lens: 85 mm, heigth: 9 in}\n');
broken('/also', 'scene', 'also: test\n');
broken('/also/test', 'scene', 'also: {test: {lens: 40 mm}}\n');
broken('/also/test', 'scene', 'also: {test: []}\n');
broken('/sharp', 'scene', 'sharp: otter\n');
broken('/camera/focus', 'scene', 'camera: {focus: {behind: 3 in}}\n');
broken('/camera/height', 'scene', 'camera: {height: 9}\n');
broken('/camera/stop', 'scene', 'camera: {stop: 11}\n');
broken('/camera/held', 'scene', 'camera: {held: sideways}\n');
broken('/camera', 'scene', 'camera: 85 mm\n');
broken('/camera', 'scene', 'camera:\n');
broken('/camera/lens', 'scene', 'camera: {lens: [85 mm]}\n');
broken('/pieces', 'scene', 'pieces:\n  - ferry: {shape: box}\n');
broken('/pieces/ferry/shape', 'scene', 'pieces: {ferry: {shape: barrel}}\n');
broken('/pieces/ferry/at', 'scene', 'pieces: {ferry: {at: [3 in, 4 in]}}\n');
broken('/pieces/ferry/at', 'scene', 'pieces: {ferry: {at: {up: 3 in}}}\n');
broken('/pieces/ferry', 'scene', 'pieces: {ferry: 20 in}\n');
broken('/puppets/heron', 'scene', 'puppets: {heron: {row: {count: 2, every: 3 in}}}\n');
broken('/mark/drawn/foot', 'scene', 'mark: {drawn: {foot: 190 mm}}\n');
broken('/mark/drawn/foot', 'scene', 'mark: {drawn: {foot: [190 mm]}}\n');
broken('/mark/drawn/foot', 'scene', 'mark: {drawn: {foot: [1 mm, 2 mm, 3 mm]}}\n');
broken('/drawing/image', 'scene', 'drawing: {image: ../fog.png}\n');
broken('/drawing/image', 'scene', 'drawing: {image: /fog.png}\n');
broken('/drawing/image', 'scene', 'drawing: {image: drawings\\fog.png}\n');
broken('/pages', 'scene', 'pages: eight\n');
broken('/pages', 'scene', 'pages: 0\n');
broken('/accept/0', 'scene', 'accept: [heron drawn-together]\n');
broken('/accept', 'scene', 'accept: heron drawn-apart\n');
broken('/shots/wide', 'scene', 'shots: {wide: {pieces: {a: {shape: box}}}}\n');
broken('/flats/wall/openings/window/at', 'scene', 'flats: {wall: {openings: {window: {at: {back: 3 in}}}}}\n');
broken('/cast/otter', 'book', 'cast: {otter: {eyes: 9 in}}\n');
broken('/cast/otter/poses/seated', 'book', 'cast: {otter: {tall: 11 in, poses: {seated: {height: 6 in}}}}\n');
broken('/cameras/hired', 'book', 'cast: {}\ncameras: {hired: {pixels: 8000 x 5333}}\n');
broken('/lenses/portrait', 'book', 'lenses: {portrait: {nearest: 32 in}}\n');
broken('/lengths', 'book', 'lengths: inches\n');
broken('/groundrow', 'book', 'groundrow: 2\nbook: x\n');
broken('/every scene', 'book', 'every scene: {cast: {}}\n');
broken('', 'book', 'book: x\nscene: y\n');

console.log(`${checks} checks, ${files.length} files, ${faults} faults`);
process.exit(faults > 0 ? 1 : 0);
