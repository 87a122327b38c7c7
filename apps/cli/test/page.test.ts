import { describe, expect, it } from 'vitest';
import { predictionPage } from '../src/commands/predict.ts';
import { roundsPage } from '../src/commands/rounds.ts';
import type { Io } from '../src/io.ts';
import { type Face, faceOf } from '../src/paper/face.ts';
import { columnsOf } from '../src/paper/text.ts';
import { pageOf } from '../src/sheet/page.ts';
import { skerry } from './support/skerry.ts';

function face(over: Partial<Io> = {}, options: { plain?: boolean } = {}): Face {
  const io: Io = {
    out: () => {},
    err: () => {},
    stdin: async () => new Uint8Array(),
    outIsTerminal: false,
    errIsTerminal: false,
    columns: undefined,
    env: {},
    timeZone: 'UTC',
    hands: [],
    now: () => 0,
    ...over,
  };
  return faceOf(io, options);
}

const terminal = { outIsTerminal: true, columns: 80 };
const escapeCode = '\u001b[';

describe('the page of a tank', () => {
  it.each([
    ['page-80', face()],
    ['page-110', face({ columns: 140 })],
    ['page-plain-80', face({}, { plain: true })],
    ['page-colour-80', face(terminal)],
  ])('is drawn as %s', async (name, drawn) => {
    await expect(pageOf(skerry, 'Skerry', drawn)).toMatchFileSnapshot(`golden/${name}.txt`);
  });

  it.each([48, 60, 80, 97, 110])('keeps within %i columns', (columns) => {
    for (const options of [{}, { plain: true }])
      for (const line of pageOf(skerry, 'Skerry', face({ columns }, options)).split('\n'))
        expect(columnsOf(line), line).toBeLessThanOrEqual(columns);
  });

  it('is ASCII alone where that is asked for, and where the terminal knows nothing more', () => {
    const named = 'Skær — 中';
    expect(pageOf(skerry, named, face({}, { plain: true }))).toMatch(/^[\p{ASCII}]*$/u);
    expect(pageOf(skerry, named, face({ ...terminal, env: { TERM: 'dumb' } }))).toMatch(/^[\p{ASCII}]*$/u);
  });

  it('uses colour on a terminal only, and not where NO_COLOR is set', () => {
    expect(pageOf(skerry, 'Skerry', face(terminal))).toContain(escapeCode);
    expect(pageOf(skerry, 'Skerry', face())).not.toContain(escapeCode);
    expect(pageOf(skerry, 'Skerry', face({ ...terminal, env: { NO_COLOR: '1' } }))).not.toContain(escapeCode);
    expect(pageOf(skerry, 'Skerry', face({ ...terminal, env: { NO_COLOR: '' } }))).toContain(escapeCode);
  });

  it('lets no control character of a name or a note reach the terminal', () => {
    const sly = { ...skerry, sentence: `all\u001b[2Jclear\u0007`, doubts: ['a\u202eb\rc'] };
    const page = pageOf(sly, 'Sk\u001b]0;x\u0007erry', face());
    expect(page.replaceAll('\n', '')).not.toMatch(/[\p{Cc}\u202e]/u);
  });

  it('draws a reading beyond the card as an arrow, and one at zero on the floor', () => {
    const page = pageOf(skerry, 'Skerry', face());
    expect(page).toContain('↑');
    expect(page).toMatch(/0 ┤.*┴/);
  });

  it('says that a tank is not ready within the horizon by leaving the window out', () => {
    const never = { ...skerry.course.ready, p05: null, p50: null, p95: null };
    const page = pageOf({ ...skerry, course: { ...skerry.course, ready: never } }, 'Skerry', face());
    expect(page).not.toContain('╱');
  });

  it('hatches to the edge where the end of the window lies past the horizon', () => {
    const late = { ...skerry.course.ready, p95: null };
    const page = pageOf({ ...skerry, course: { ...skerry.course, ready: late } }, 'Skerry', face());
    expect(page).toContain('ready from 25 Feb on');
  });
});

describe('the rounds', () => {
  it('give each tank its sentence, wrapped beside its name', async () => {
    const holm = { ...skerry, sentence: 'Holm was never fed: nothing can be said of when it is ready.' };
    const rounds = [
      { name: 'Holm, the nursery row by the north window', sheet: holm },
      { name: 'Skerry', sheet: skerry },
    ];
    await expect(roundsPage(rounds, face())).toMatchFileSnapshot('golden/rounds-80.txt');
  });
});

describe('a prediction', () => {
  it('is a sentence with its band, and a bar for each step of the card', async () => {
    const prediction = {
      analyte: 'nitrite',
      as: 'NO2',
      mean: 2.9,
      quantiles: { '0.05': 1, '0.25': 2, '0.5': 2, '0.75': 5, '0.95': 5 },
      steps: [
        { value: 0, probability: 0.004 },
        { value: 1, probability: 0.11 },
        { value: 2, probability: 0.52 },
        { value: 5, probability: 0.366 },
      ],
    };
    const at = Date.UTC(2025, 1, 20, 9);
    await expect(predictionPage(prediction, 'Skerry', at, face())).toMatchFileSnapshot(
      'golden/prediction-80.txt',
    );
  });
});
