import type { Shelf, Tool } from './tool.ts';
import { ammoniaTools } from './tools/ammonia.ts';
import { instrumentTools } from './tools/instruments.ts';
import { mineralTools } from './tools/minerals.ts';
import { waterTool } from './tools/one-water.ts';
import { volumeTools } from './tools/volume.ts';
import { waterTools } from './tools/water.ts';

/** Names of the shelves, in the order of the room. */
export const shelves: Readonly<Record<Shelf, string>> = {
  volume: 'How much water',
  water: 'Salt and water',
  instruments: 'Reading instruments',
  ammonia: 'Ammonia',
  minerals: 'Buffer and minerals',
};

/** Every tool of the mixing room, shelf by shelf. */
export const mixingTools: readonly Tool[] = [
  ...volumeTools,
  ...waterTools,
  waterTool,
  ...instrumentTools,
  ...ammoniaTools,
  ...mineralTools,
];

/** The tool of an id, or undefined. */
export const toolOf = (id: string): Tool | undefined => mixingTools.find((tool) => tool.id === id);
