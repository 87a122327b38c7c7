/** The store's own helper: a PostgreSQL that is started for the test and gone afterwards. */
interface Cluster {
  /** Makes an empty database and gives the connection string to it. */
  database(): Promise<string>;
  /** Kills every process of it at once, and starts it again. */
  crash(): Promise<void>;
  stop(): Promise<void>;
}

interface ClusterOptions {
  /** Files may grow so far and no further, as on a full disk. */
  readonly mostKilobytes?: number;
}

const { startCluster } = (await import(
  new URL('../../../../packages/store/test/support/postgres.ts', import.meta.url).href
)) as { startCluster(options: ClusterOptions): Promise<Cluster> };

/** Undefined, with the reason printed, where PostgreSQL is not there and cannot be installed. */
export async function clusterOrNone(options: ClusterOptions = {}): Promise<Cluster | undefined> {
  try {
    return await startCluster(options);
  } catch (error) {
    console.log(`Skipped, PostgreSQL cannot be had here: ${error instanceof Error ? error.message : error}`);
    return undefined;
  }
}
