import { serveApp } from './serve.ts';

const port = Number(process.env.PORT ?? 4270);
const host = process.env.HOST ?? '127.0.0.1';

try {
  if (!Number.isInteger(port) || port < 0 || port > 65535)
    throw new Error(`PORT is "${process.env.PORT}": it must be a whole number from 0 to 65535.`);
  const { address, close } = await serveApp({ port, host });
  console.log(`Serving at ${address}`);
  for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => void close());
} catch (error) {
  console.error(error instanceof Error ? error.message : String(error));
  process.exitCode = 1;
}
