import { fileURLToPath } from 'node:url';
import { createServer } from 'vite';

const root = fileURLToPath(new URL('../..', import.meta.url));

/** Runs a TypeScript source as what a thread runs; it goes on loading what it needs meanwhile. */
export async function runThread(/** @type {string} */ source) {
  const server = await createServer({
    root,
    configFile: false,
    logLevel: 'error',
    optimizeDeps: { noDiscovery: true },
    server: { middlewareMode: true, hmr: false, watch: null, ws: false },
  });
  await server.ssrLoadModule(source);
}
