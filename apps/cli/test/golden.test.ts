import { describe, expect, it } from 'vitest';
import {
  dose,
  header,
  holmId,
  journal,
  lineText,
  reading,
  skerryId,
  skerryJournal,
  tank,
} from './support/journals.ts';
import { shell, transcript } from './support/shell.ts';

interface Case {
  readonly name: string;
  readonly args: readonly string[];
  readonly stdin?: string | Uint8Array;
  readonly code: number;
}

const course = ['course', '-'];
const strict = ['course', '-', '--strict'];
const predict = ['predict', '-', '--at', '2025-02-20T09:00:00Z'];
const twoTanks = journal(tank(2, 'Skerry'), tank(3, 'Holm', {}, holmId));

/** What people get wrong, with what they are told. */
const cases: readonly Case[] = [
  { name: 'empty-file', args: course, stdin: '', code: 1 },
  { name: 'header-alone', args: course, stdin: `${header}\n`, code: 1 },
  { name: 'no-header', args: strict, stdin: `${lineText(tank(2, 'Skerry'))}\n`, code: 1 },
  { name: 'newer-version', args: course, stdin: `{"journal":7}\n${lineText(tank(2, 'Skerry'))}\n`, code: 1 },
  { name: 'not-json', args: strict, stdin: journal(tank(2, 'Skerry'), 'tested today, all fine'), code: 1 },
  { name: 'cut-off', args: strict, stdin: skerryJournal.slice(0, -40), code: 1 },
  { name: 'not-utf8', args: strict, stdin: notUtf8(), code: 1 },
  {
    name: 'wrong-ion',
    args: strict,
    stdin: journal(tank(2, 'Skerry'), reading(3, 1, 'ammonia', 'NO2', 1)),
    code: 1,
  },
  { name: 'negative-dose', args: strict, stdin: journal(tank(2, 'Skerry'), dose(3, 1, -424)), code: 1 },
  { name: 'no-volume', args: strict, stdin: journal(tank(2, 'Skerry', { litres: { value: 0 } })), code: 1 },
  {
    name: 'two-under-one-id',
    args: strict,
    stdin: journal(tank(2, 'Skerry'), dose(3, 1, 424), dose(3, 1, 242)),
    code: 1,
  },
  { name: 'two-tanks', args: course, stdin: twoTanks, code: 1 },
  { name: 'no-such-tank', args: [...course, '--tank', 'Ness'], stdin: twoTanks, code: 1 },
  {
    name: 'before-anything',
    args: [...course, '--as-of', '2024-12-31T00:00:00Z'],
    stdin: skerryJournal,
    code: 1,
  },
  { name: 'no-such-file', args: ['course', 'nowhere/tank.ndjson'], code: 1 },
  { name: 'a-folder', args: ['course', '.'], code: 1 },
  {
    name: 'no-such-kit',
    args: [...predict, '--analyte', 'nitrite', '--kit', 'strips'],
    stdin: skerryJournal,
    code: 1,
  },
  {
    name: 'kit-of-another',
    args: [...predict, '--analyte', 'nitrite', '--kit', 'ammonia-drops'],
    stdin: skerryJournal,
    code: 1,
  },
  { name: 'no-journal', args: ['course'], code: 2 },
  { name: 'no-such-verb', args: ['foretell', '-'], code: 2 },
  { name: 'no-such-option', args: [...course, '--loudly'], code: 2 },
  { name: 'not-an-instant', args: [...course, '--as-of', 'yesterday'], code: 2 },
  { name: 'not-a-seed', args: [...course, '--seed', '1.5'], code: 2 },
  { name: 'no-instant', args: ['predict', '-', '--analyte', 'nitrite', '--kit', 'nitrite-drops'], code: 2 },
  { name: 'not-predicted', args: [...predict, '--analyte', 'calcium', '--kit', 'drops'], code: 2 },
  { name: 'help', args: ['--help'], code: 0 },
  { name: 'help-course', args: ['course', '--help'], code: 0 },
];

/** A journal whose second line was saved in an older encoding. */
function notUtf8(): Uint8Array {
  const bytes = new TextEncoder().encode(journal(tank(2, 'Sk@r')));
  return bytes.map((byte) => (byte === '@'.charCodeAt(0) ? 0xe6 : byte));
}

describe('what a person is told', () => {
  it.each(cases)('$name', async ({ name, args, stdin, code }) => {
    const outcome = await shell(args, stdin);
    expect(outcome.code).toBe(code);
    expect(outcome.out === '').toBe(code !== 0);
    await expect(transcript(args, outcome)).toMatchFileSnapshot(`golden/${name}.txt`);
  });

  it('names the tanks to choose from by id and name', async () => {
    const { err } = await shell(course, twoTanks);
    expect(err).toContain(`${skerryId}  Skerry`);
    expect(err).toContain(`${holmId}  Holm`);
  });
});
