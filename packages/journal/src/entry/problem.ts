import type * as z from 'zod/mini';

/** Something wrong with one line of a journal, or with one entry handed over as data. */
export interface Problem {
  /** Line number in the file, from 1; 0 where there is no file. */
  readonly line: number;
  /** A stable word for programs. */
  readonly code: ProblemCode;
  /** Where in the line, such as `body.nitrogenMg`; empty for the line as a whole. */
  readonly path: string;
  readonly message: string;
  /** What to do about it. */
  readonly remedy: string;
  /** The line as it was read, so that nothing is lost with it; absent for the file as a whole. */
  readonly text?: string;
}

export type ProblemCode =
  | 'empty'
  | 'no-header'
  | 'newer-version'
  | 'not-json'
  | 'cut-off'
  | 'not-an-entry'
  | 'too-deep'
  | 'clash'
  | 'missing'
  | 'wrong-type'
  | 'not-listed'
  | 'out-of-range'
  | 'not-an-instant'
  | 'not-an-id'
  | 'wrong-ion'
  | 'ambiguous'
  | 'order';

/** "line 7, body.nitrogenMg: must be at least 0; found -2. Write …" */
export function sayProblem(problem: Problem): string {
  const place = [problem.line > 0 ? `line ${problem.line}` : '', problem.path].filter((part) => part !== '');
  return `${place.join(', ')}${place.length > 0 ? ': ' : ''}${problem.message}. ${problem.remedy}`;
}

type Issue = z.core.$ZodIssue;
type Words = Pick<Problem, 'code' | 'message' | 'remedy'>;

/** What a schema found, in plain words. */
export function problemsOf(issues: readonly Issue[], line: number, prefix: string, text?: string): Problem[] {
  return issues.map((issue) => ({
    line,
    path: pathText(prefix, issue.path),
    ...wordsFor(issue),
    ...(text === undefined ? {} : { text }),
  }));
}

function pathText(prefix: string, path: readonly PropertyKey[]): string {
  let out = prefix;
  for (const part of path) {
    if (typeof part === 'number') out += `[${part}]`;
    else out += out === '' ? String(part) : `.${String(part)}`;
  }
  return out;
}

function wordsFor(issue: Issue): Words {
  const remedy = fieldRemedy(issue.path.at(-1));
  switch (issue.code) {
    case 'invalid_type':
      return typeWords(issue.expected, issue.input, remedy);
    case 'too_small':
    case 'too_big':
      return boundWords(issue, remedy);
    case 'invalid_value': {
      const allowed = issue.values.map(String).join(', ');
      const message =
        issue.input === undefined ? 'is missing' : `${shown(issue.input)} is not a word known here`;
      return {
        code: issue.input === undefined ? 'missing' : 'not-listed',
        message,
        remedy: `Use one of: ${allowed}.`,
      };
    }
    case 'invalid_format':
      return {
        code: 'not-an-id',
        message: `${shown(issue.input)} is not a UUID`,
        remedy: 'Write a UUID of version 7, such as 01950001-0000-7000-8000-000000000002.',
      };
    case 'custom':
      return customWords(issue, remedy);
    default:
      return { code: 'wrong-type', message: issue.message, remedy: remedy ?? 'Correct the field.' };
  }
}

function typeWords(expected: string, input: unknown, remedy: string | undefined): Words {
  const wanted = TYPE_WORDS[expected] ?? expected;
  if (input === undefined) {
    return {
      code: 'missing',
      message: `is missing; ${wanted} is needed`,
      remedy: remedy ?? `Add ${wanted}.`,
    };
  }
  const fallback = input === null ? 'Leave the field out where nothing is known.' : `Write ${wanted}.`;
  const typed =
    expected === 'number' && typeof input === 'string' && input.trim() !== '' && Number.isFinite(+input);
  return {
    code: 'wrong-type',
    message: `should be ${wanted}; found ${shown(input)}`,
    remedy: typed ? `Write the number without quotes: ${+input}.` : (remedy ?? fallback),
  };
}

const TYPE_WORDS: Readonly<Record<string, string>> = {
  number: 'a number',
  int: 'a whole number',
  string: 'text in quotes',
  object: 'an object in braces',
  record: 'an object in braces',
  array: 'a list in square brackets',
  tuple: 'two numbers in square brackets',
};

function boundWords(
  issue: z.core.$ZodIssueTooSmall | z.core.$ZodIssueTooBig,
  remedy: string | undefined,
): Words {
  const [bound, side, above] =
    issue.code === 'too_small'
      ? [issue.minimum, 'at least', 'more than']
      : [issue.maximum, 'at most', 'less than'];
  if (issue.origin === 'array') {
    const message = `needs ${side} ${bound} of them; found ${Array.isArray(issue.input) ? issue.input.length : 'none'}`;
    return { code: 'missing', message, remedy: remedy ?? 'Complete the list.' };
  }
  if (issue.origin === 'string') {
    return {
      code: 'missing',
      message: 'is empty text',
      remedy: remedy ?? 'Write something, or leave it out.',
    };
  }
  return {
    code: 'out-of-range',
    message: `must be ${issue.inclusive ? side : above} ${bound}; found ${shown(issue.input)}`,
    remedy: remedy ?? 'Correct the number, or leave the field out where it is not known.',
  };
}

function customWords(issue: z.core.$ZodIssueCustom, remedy: string | undefined): Words {
  const params = issue.params ?? {};
  if (typeof params.code === 'string') {
    return {
      code: params.code as ProblemCode,
      message: issue.message,
      remedy: typeof params.remedy === 'string' ? params.remedy : 'Correct the field.',
    };
  }
  return {
    code: 'not-an-instant',
    message: `${shown(issue.input)} is ${issue.message}`,
    remedy: remedy ?? INSTANT_REMEDY,
  };
}

const INSTANT_REMEDY = 'Write date, time and offset, such as 2025-03-01T18:00:00+01:00.';
const ID_REMEDY = 'Write a UUID of version 7, such as 01950001-0000-7000-8000-000000000002.';

/** What helps most often with a field, whatever exactly is wrong with it. */
function fieldRemedy(field: PropertyKey | undefined): string | undefined {
  return typeof field === 'string' && Object.hasOwn(REMEDIES, field) ? REMEDIES[field] : undefined;
}

const REMEDIES: Readonly<Record<string, string>> = {
  id: ID_REMEDY,
  tank: ID_REMEDY,
  of: `Name the entry that is corrected. ${ID_REMEDY}`,
  at: INSTANT_REMEDY,
  recorded: INSTANT_REMEDY,
  opened: INSTANT_REMEDY,
  kind: 'Say what the entry is, such as reading, dose or note.',
  body: 'Put what the entry says in an object in braces.',
  temperatureC: 'Files hold °C: 77 °F is 25 °C.',
  salinity: 'Files hold practical salinity: a specific gravity of 1.026 is about 35.',
  value: 'Correct the number; it stands without its unit.',
  nitrogenMg: 'Give milligrams of nitrogen put in; leave the amount out where it is not known.',
  dilution: '1 is undiluted; 5 is one part tank water in five.',
  fraction: 'A fifth of the water is 0.2, not 20.',
  protein: 'A fraction of the dry mass: 48 % is 0.48.',
  dry: 'A fraction of the whole: 90 % is 0.9.',
  between: 'Give the lower and the upper number, such as [2, 5].',
};

/** A value as it stood, short enough for a sentence. */
function shown(value: unknown): string {
  const text = typeof value === 'number' ? String(value) : (JSON.stringify(value) ?? String(value));
  return text.length > 60 ? `${text.slice(0, 57)}…` : text;
}
