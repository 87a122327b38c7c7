import { readFileSync } from 'node:fs';
import {
  type Entry,
  JournalError,
  journalReader,
  lineOf,
  parseJournal,
  sayProblem,
  writeJournal,
} from '@brinewright/journal';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ammonia, entry, file, id, OTHER_TANK, TANK } from './support/build.ts';

const fieldStation = readFileSync(new URL('./fixtures/field-station.ndjson', import.meta.url), 'utf8');
const faults = (text: string) => parseJournal(text).problems.map(({ line, code }) => [line, code]);
const first = ammonia(1, { n: 1 });
const second = ammonia(2, { n: 2, day: 1 });

describe('reading a journal', () => {
  it('reads two tanks from one file without a problem', () => {
    const { entries, problems } = parseJournal(fieldStation);
    expect(problems).toEqual([]);
    expect(entries).toHaveLength(112);
    expect(new Set(entries.map((one) => one.tank)).size).toBe(2);
  });

  it('takes a file of the header alone as a journal without entries', () => {
    expect(parseJournal('{"journal":1}\n')).toEqual({ entries: [], problems: [] });
  });

  it.each(['', '\n\n', '   \r\n', '\ufeff'])('says that %j holds nothing', (text) => {
    expect(faults(text)).toEqual([[1, 'empty']]);
  });

  it('reads what follows where the header is missing, and says so once', () => {
    const text = file(first, second).split('\n').slice(1).join('\n');
    expect(parseJournal(text).entries).toEqual([first, second]);
    expect(faults(text)).toEqual([[1, 'no-header']]);
  });

  it('refuses a newer version in plain words and reads nothing of it', () => {
    const text = file(first).replace('"journal":1', '"journal":2');
    const { entries, problems } = parseJournal(text);
    expect(entries).toEqual([]);
    expect(problems.map(sayProblem)).toEqual([
      'line 1, journal: this journal is version 2 and this program reads version 1. ' +
        'Open it with a newer version of the program; nothing was read.',
    ]);
  });

  it.each([0, '"1"', 'null', 1.5])('says that journal %s is no version', (version) => {
    const text = file(first).replace('"journal":1', `"journal":${version}`);
    expect(faults(text)[0]?.[1]).toBe(version === 1.5 ? 'newer-version' : 'no-header');
  });

  it('reads on after a bad line, and keeps the bad line with its problem', () => {
    const bad = '{"id": oops}';
    const { entries, problems } = parseJournal(file(first, bad, second));
    expect(entries).toEqual([first, second]);
    expect(problems).toMatchObject([{ line: 3, code: 'not-json', text: bad }]);
  });

  it('tells a last line that was cut off from one that merely lacks its line feed', () => {
    const text = file(first, second);
    expect(faults(text.slice(0, -20))).toEqual([[3, 'cut-off']]);
    expect(faults(text.slice(0, -1))).toEqual([]);
    expect(parseJournal(text.slice(0, -20)).entries).toEqual([first]);
  });

  it('takes a byte-order mark, carriage returns, blank lines and a second header in its stride', () => {
    const text = `\ufeff${file(first, '', '{"journal":1}', second).replaceAll('\n', '\r\n')}`;
    expect(parseJournal(text)).toEqual({ entries: [first, second], problems: [] });
  });

  it('names line, field and remedy of a negative dose', () => {
    const dose = { ...entry('dose', { substance: 'ammonium-chloride' }, { n: 3 }) };
    const text = file(first, { ...dose, body: { ...dose.body, nitrogenMg: -2 } });
    expect(parseJournal(text).problems.map(sayProblem)).toEqual([
      'line 3, body.nitrogenMg: must be at least 0; found -2. ' +
        'Give milligrams of nitrogen put in; leave the amount out where it is not known.',
    ]);
  });

  it('refuses a number too large to be one', () => {
    const text = file(JSON.stringify(first).replace('"value":1', '"value":1e999'));
    expect(parseJournal(text).problems).toMatchObject([
      { code: 'wrong-type', path: 'body.value', message: 'should be a number; found Infinity' },
    ]);
  });

  it('keeps entries of kinds it does not know, whole', () => {
    const later = {
      id: id(5),
      tank: TANK,
      at: '2026-03-02T00:00:00Z',
      kind: 'barometer',
      body: { hPa: [1, { x: 2 }] },
    };
    expect(parseJournal(file(later))).toEqual({ entries: [later], problems: [] });
  });

  it('refuses the whole file under strict, with everything that is wrong', () => {
    const text = file(first, '{', second);
    expect(() => parseJournal(text, { strict: true })).toThrow(JournalError);
    expect(() => parseJournal(text, { strict: true })).toThrow(/^line 3: the line is not JSON/);
    expect(parseJournal(fieldStation, { strict: true }).entries).toHaveLength(112);
  });
});

describe('an id that comes again', () => {
  it('is passed over with the same content, in whatever order its fields stand', () => {
    const { body, ...rest } = first;
    const turned = JSON.stringify({ body: Object.fromEntries(Object.entries(body).reverse()), ...rest });
    expect(parseJournal(file(first, turned.replace('"value":1', '"value": 1.0')))).toEqual({
      entries: [first],
      problems: [],
    });
  });

  it('is a clash with different content: both lines are named and the earlier stands', () => {
    const { entries, problems } = parseJournal(
      file(first, second, { ...first, body: { ...first.body, value: 3 } }),
    );
    expect(entries).toEqual([first, second]);
    expect(problems).toMatchObject([{ line: 4, code: 'clash', path: 'id' }]);
    expect(problems[0]?.message).toContain(`lines 2 and 4 carry the same id ${first.id}`);
  });

  it('is a clash even where only the tank differs', () => {
    expect(faults(file(first, { ...first, tank: OTHER_TANK }))).toEqual([[3, 'clash']]);
  });
});

describe('writing a journal', () => {
  it('gives back the bytes of a file we wrote', () => {
    expect(writeJournal(parseJournal(fieldStation).entries)).toBe(fieldStation);
  });

  it("keeps each line's own bytes of a foreign file", () => {
    const spaced = ` { "kind":"note","body":{"text":"caf\\u00e9"} , "id":"${id(4)}","tank":"${TANK}","at":"2026-03-02T00:00:00+00:00"}`;
    const long = JSON.stringify(first).replace('"value":1', '"value":1.000000000000000000001e0');
    expect(writeJournal(parseJournal(file(spaced, long)).entries)).toBe(file(spaced, long));
  });

  it('writes new entries in one fixed order of fields, further ones last', () => {
    const { kind, body, at, ...rest } = first;
    const shuffled = { device: 'bench', body, kind, by: 'me', ...rest, at } as Entry;
    expect(lineOf(shuffled)).toBe(
      `{"id":"${id(1)}","tank":"${TANK}","at":"${at}","by":"me","kind":"reading",` +
        '"body":{"analyte":"ammonia","as":"N","value":1},"device":"bench"}',
    );
  });

  it('writes an edited copy anew, not as the line its original came from', () => {
    const [read] = parseJournal(file(first)).entries;
    const copy = { ...read, by: 'someone' } as Entry;
    expect(lineOf(copy)).toContain('"by":"someone"');
  });
});

describe('a hostile file', () => {
  it('never throws, and never loses a line without saying so', () => {
    const line = fc.oneof(
      fc.json(),
      fc.string(),
      fc.constantFrom(...fieldStation.split('\n').slice(1, 20)),
      fc
        .tuple(fc.constantFrom(...fieldStation.split('\n')), fc.nat(300))
        .map(([text, cut]) => text.slice(0, cut)),
    );
    fc.assert(
      fc.property(fc.array(line), (lines) => {
        const reader = journalReader();
        reader.line('{"journal":1}');
        const seen = new Set<string>();
        for (const text of lines.map((one) => one.replaceAll('\n', ' '))) {
          const read = reader.line(text);
          const silent = text.trim() === '' || seen.has(text) || Object.hasOwn(jsonOf(text), 'journal');
          expect(read.entry !== undefined || read.problems.length > 0 || reader.refused || silent).toBe(true);
          if (read.entry !== undefined) seen.add(text);
        }
      }),
      { seed: 1, numRuns: 300 },
    );
  }, 60_000);

  // A million lines take the same path in some 15 s and 450 MB, most of it the ids; a tenth keeps the run short.
  it('reads a hundred thousand lines one by one', () => {
    const reader = journalReader();
    reader.line('{"journal":1}');
    let read = 0;
    for (let n = 0; n < 100_000; n++) {
      const text = JSON.stringify(ammonia(n % 9, { n, day: n / 1440 }));
      if (reader.line(text).entry !== undefined) read += 1;
    }
    expect(read).toBe(100_000);
    expect(reader.end()).toEqual([]);
  }, 60_000);
});

function jsonOf(text: string): object {
  try {
    return Object(JSON.parse(text));
  } catch {
    return {};
  }
}
