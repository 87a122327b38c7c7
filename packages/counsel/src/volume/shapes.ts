import { InputFault } from '../input-fault.ts';

/** Shapes of tank this can measure, all with upright walls. */
export type Shape = 'box' | 'cylinder' | 'bow-front' | 'hexagon' | 'quarter-round';

/** Outside measures of a tank, cm. Which of them a shape needs is said in `footprint`. */
export type Measures = { length: number; width: number; bow: number; glass: number };

/**
 * Inside area of the base, cm², from outside measures and the glass thickness.
 * `box` length × width; `cylinder` diameter = length; `bow-front` length × width at the sides, deepened by `bow` in
 * the middle (a circular arc); `hexagon` regular, length = distance between opposite sides; `quarter-round` two
 * straight sides of `length` and a round front.
 */
export function footprint(shape: Shape, { length, width, bow, glass }: Measures): number {
  const inside = length - 2 * glass;
  switch (shape) {
    case 'box':
      return inside * (width - 2 * glass);
    case 'cylinder':
      return (Math.PI * inside ** 2) / 4;
    case 'bow-front':
      return inside * (width - 2 * glass) + circularSegment(inside, bow);
    case 'hexagon':
      return (Math.sqrt(3) / 2) * inside ** 2;
    case 'quarter-round': {
      const radius = length - glass;
      return (Math.PI * radius ** 2) / 4 - 2 * glass * radius + glass ** 2;
    }
  }
}

/** Outside length of the walls, cm; an arched front is taken for a little more than its chord. */
export function wallLength(shape: Shape, { length, width, bow }: Measures): number {
  switch (shape) {
    case 'box':
      return 2 * (length + width);
    case 'cylinder':
      return Math.PI * length;
    case 'bow-front':
      return 2 * (length + width) + (8 * bow ** 2) / (3 * length);
    case 'hexagon':
      return 2 * Math.sqrt(3) * length;
    case 'quarter-round':
      return (2 + Math.PI / 2) * length;
  }
}

/** Area between a chord and its arc, from chord and height (sagitta). Check: chord 2, height 1 → π/2. */
function circularSegment(chord: number, height: number): number {
  if (height <= 0) return 0;
  const radius = height / 2 + chord ** 2 / (8 * height);
  const angle = 2 * Math.asin(Math.min(1, chord / (2 * radius)));
  const full = height > radius ? 2 * Math.PI - angle : angle;
  return (radius ** 2 / 2) * (full - Math.sin(full));
}

/** Throws `InputFault` where the glass leaves no room, or the shape lacks a measure. */
export function checkMeasures(shape: Shape, { length, width, glass }: Measures): void {
  if ((shape === 'box' || shape === 'bow-front') && width <= 2 * glass)
    throw new InputFault(
      'width',
      `${width} cm leaves no room between the panes`,
      'Give the outside depth, front to back.',
    );
  if (length <= 2 * glass)
    throw new InputFault(
      'length',
      `${length} cm leaves no room between the panes`,
      'Give the outside length.',
    );
}
