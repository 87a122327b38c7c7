const load = /\(v128\.load\s+\(i32\.const (\d+)\)\s*\)/g;
const store = /\(v128\.store\s+\(i32\.const (\d+)\)/g;
const lastLocal = /^[\s\S]*\n\s*\(local \$\S+ \w+\)/;

/**
 * A module's text with vectors at fixed addresses held in locals: a function that calls no other and reaches memory by
 * whole vectors at addresses known beforehand fetches each where it begins and puts it back where it ends. An engine keeps
 * locals in registers, and may not do so with memory, which others could see. Other functions stay as they are. `passing`:
 * addresses of what nobody asks for after a function has ended, which is not put back.
 */
export const holdInLocals = (text, passing = { from: 0, until: 0 }) =>
  text
    .split(/\n(?= \(func )/)
    .map((part) => (canHold(part) ? held(part, passing) : part))
    .join('\n');

/** Whether nothing else than vectors at fixed addresses, sixteen bytes apart, is reached, and the end is the one way out. */
function canHold(part) {
  const addresses = [...part.matchAll(load), ...part.matchAll(store)].map(([, address]) => Number(address));
  const reached = part.match(/\.(load|store)|memory\./g) ?? [];
  return (
    addresses.length > 0 &&
    addresses.length === reached.length &&
    addresses.every((address) => address % 16 === 0) &&
    !/\((call|return|unreachable)/.test(part)
  );
}

function held(part, passing) {
  const [fetched, stored] = [load, store].map((pattern) =>
    [...part.matchAll(pattern)].map(([, at]) => Number(at)),
  );
  const all = [...new Set([...fetched, ...stored])];
  const body = part
    .replace(load, (_, at) => `(local.get $at${at})`)
    .replace(store, (_, at) => `(local.set $at${at}`);
  const [head] = body.match(lastLocal) ?? [];
  if (!head) throw new Error('a function that holds vectors has no locals to put them after');
  const end = closing(body);
  const lasting = [...new Set(stored)].filter((at) => at < passing.from || at >= passing.until);
  const lines = (of, addresses) => addresses.map((at) => `\n${of(at)}`).join('');
  return [
    head,
    lines((at) => `(local $at${at} v128)`, all),
    lines((at) => `(local.set $at${at} (v128.load (i32.const ${at})))`, all),
    body.slice(head.length, end),
    lines((at) => `(v128.store (i32.const ${at}) (local.get $at${at}))`, lasting),
    body.slice(end),
  ].join('');
}

/** Place of the parenthesis that closes the function a part begins with; the last part closes its module as well. */
function closing(part) {
  let depth = 0;
  for (let i = part.indexOf('('); i < part.length; i++) {
    if (part[i] === '(') depth++;
    else if (part[i] === ')' && --depth === 0) return i;
  }
  throw new Error('a function does not end');
}
