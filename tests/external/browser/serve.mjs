// Folders of this machine as a web site of this machine: pages with modules cannot be opened as files.
import fs from 'node:fs';
import http from 'node:http';
import path from 'node:path';

const KINDS = {
  '.html': 'text/html; charset=utf-8', '.js': 'text/javascript', '.mjs': 'text/javascript', '.json': 'application/json',
  '.glb': 'model/gltf-binary', '.png': 'image/png', '.css': 'text/css', '.txt': 'text/plain; charset=utf-8',
};

// folders: {'name': folder}: http://127.0.0.1:PORT/name/... . Returns {url, close}.
export async function serve(folders) {
  const server = http.createServer((request, response) => {
    const [, name, ...rest] = decodeURIComponent(new URL(request.url, 'http://127.0.0.1').pathname).split('/');
    const folder = Object.hasOwn(folders, name) ? path.resolve(folders[name]) : undefined;
    const file = folder && path.join(folder, ...rest);
    if (!file || !file.startsWith(folder + path.sep) || !fs.statSync(file, { throwIfNoEntry: false })?.isFile()) {
      response.writeHead(404).end();
      return;
    }
    response.writeHead(200, { 'content-type': KINDS[path.extname(file)] ?? 'application/octet-stream' });
    fs.createReadStream(file).pipe(response);
  });
  await new Promise((resolve, reject) => server.once('error', reject).listen(0, '127.0.0.1', resolve));
  return {
    url: `http://127.0.0.1:${server.address().port}`,
    close() { server.closeAllConnections(); server.close(); },
  };
}
