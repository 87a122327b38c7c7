import { activityFactor, convertPH, trisBufferPH } from '../ph-scales.ts';
import { movedPH, numberIn, salinityIn, scaleNamed } from './row.ts';
import type { Topic } from './topic.ts';

/** pH scales. */
export const pHScalesTopic: Topic = {
  quantities: {
    fH: (row) => activityFactor(salinityIn(row), numberIn(row, 't')),
  },
  families: [
    {
      pattern: /^pH_(total|sws|free|nbs)_from_(total|sws|free|nbs)$/,
      evaluator: (parts) => (row) =>
        movedPH(row, numberIn(row, 'pH'), scaleNamed(parts[2]!), scaleNamed(parts[1]!)),
    },
    {
      pattern: /^pH_tris_(total|sws|free|nbs)$/,
      evaluator: (parts) => (row) => {
        const salinity = salinityIn(row);
        const t = numberIn(row, 't');
        return convertPH(trisBufferPH(salinity, t), 'total', scaleNamed(parts[1]!), salinity, t);
      },
    },
  ],
};
