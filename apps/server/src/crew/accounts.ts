import { type EntryId, newEntryId } from '@brinewright/journal';
import { Fault } from '../http/problem.ts';
import type { Services } from '../services.ts';
import { first, type Sql } from '../sql/database.ts';

export interface Account {
  readonly id: string;
  readonly name: string;
}

/** Two names are the same person's when they look the same: Unicode normal form KC, lower case, single spaces. */
const folded = (name: string): string => name.normalize('NFKC').toLowerCase().trim().replaceAll(/\s+/g, ' ');

/** An id nobody can guess and that says nothing. */
export const newId = ({ now, random }: Pick<Services, 'now' | 'random'>): EntryId =>
  newEntryId(Math.max(0, now()), random(10));

/** @throws Fault where the name is taken */
export async function createAccount(services: Services, sql: Sql, name: string): Promise<Account> {
  const account = { id: newId(services), name: name.trim() };
  const made = await sql.run(
    'insert into account (id, name, folded, created) values ($1, $2, $3, $4) on conflict do nothing',
    account.id,
    account.name,
    folded(name),
    services.now(),
  );
  if (made === 0)
    throw new Fault('unsound', 'See errors.', [
      { pointer: '/name', detail: 'Someone here has that name already: take another.' },
    ]);
  return account;
}

export const accountNamed = (sql: Sql, name: string): Promise<Account | undefined> =>
  first<Account>(sql, 'select id, name from account where folded = $1', folded(name));

/** Tanks that others still have a part in, but that would be left without a keeper if someone went. */
export async function leftWithoutKeeper(sql: Sql, account: string): Promise<readonly string[]> {
  const rows = await sql.all<{ tank: string }>(
    `select mine.tank from crew mine
     where mine.account = $1 and mine.role = 'keeper'
       and exists (select 1 from crew c where c.tank = mine.tank and c.account <> $1)
       and not exists (select 1 from crew c where c.tank = mine.tank and c.account <> $1 and c.role = 'keeper')
     order by mine.tank`,
    account,
  );
  return rows.map(({ tank }) => tank);
}
