/** One value of a row or a parameter; both engines store these alike. */
export type Value = string | number | null;

export type Row = Readonly<Record<string, Value>>;

/**
 * Asks and tells a database in plain SQL that both engines understand: `$1`, `$2` for parameters, `on conflict`,
 * instants as epoch milliseconds in bigint columns, truth as 0 and 1.
 */
export interface Sql {
  /** The rows a statement gives; whole numbers come as numbers on either engine. */
  all<T extends object = Row>(sql: string, ...values: readonly Value[]): Promise<readonly T[]>;
  /** Runs a statement and tells how many rows it changed. */
  run(sql: string, ...values: readonly Value[]): Promise<number>;
  /** Runs several statements without parameters. */
  script(text: string): Promise<void>;
}

/** Statements of one transaction: all or nothing. */
export interface Transaction extends Sql {
  /** Waits until no other transaction has this lock, and has it until its own end: for what no row stands for yet. */
  lock(name: 'crew' | 'layout'): Promise<void>;
}

export interface Database extends Sql {
  readonly engine: 'sqlite' | 'postgres';
  /** All or nothing. On SQLite writers of every process take turns; on PostgreSQL only those that lock the same. */
  transaction<T>(work: (sql: Transaction) => Promise<T>): Promise<T>;
  close(): Promise<void>;
}

/** The first row, where there is one. */
export async function first<T extends object = Row>(
  sql: Sql,
  text: string,
  ...values: readonly Value[]
): Promise<T | undefined> {
  return (await sql.all<T>(text, ...values))[0];
}
