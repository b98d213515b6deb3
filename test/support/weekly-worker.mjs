// The thread that writes weekly posts, from its TypeScript source; it goes on loading what it needs while it runs.
import { fileURLToPath } from 'node:url';
import { createServer } from 'vite';

const root = fileURLToPath(new URL('../..', import.meta.url));
const server = await createServer({
  root,
  configFile: false,
  logLevel: 'error',
  optimizeDeps: { noDiscovery: true },
  server: { middlewareMode: true, hmr: false, watch: null, ws: false },
});
await server.ssrLoadModule('/src/clockwork/weekly-worker.ts');
