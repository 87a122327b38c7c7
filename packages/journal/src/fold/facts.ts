import type {
  ArrivalBody,
  CultureBody,
  DoseBody,
  Entry,
  EntryId,
  ExchangeBody,
  FoodBody,
  KitBody,
  LossBody,
  NoteBody,
  PostureBody,
  ReadingBody,
  Route,
  Surface,
  TankBody,
  TankId,
  TopoffBody,
} from '../entry/kinds.ts';

/** A body with the entry it came from and when it happened. */
export type Stamped<Body> = Readonly<Body> & {
  readonly entry: EntryId;
  /** Epoch milliseconds. */
  readonly at: number;
};

/** Something odd that does not stop the reckoning: said beside the answer, never corrected silently. */
export interface FactDoubt {
  readonly entry: EntryId;
  /** A stable word for programs. */
  readonly code: DoubtCode;
  /** Plain words: what is odd, and what to do about it. */
  readonly message: string;
}

export type DoubtCode =
  | 'before-opening'
  | 'clock'
  | 'gap'
  | 'kit-unknown'
  | 'kit-mismatch'
  | 'off-card'
  | 'class-unknown'
  | 'more-lost-than-arrived'
  | 'volume-error-assumed'
  | 'gravity-as-salinity'
  | 'no-nitrogen-in-substance'
  | 'correction-loose'
  | 'correction-unsound'
  | 'two-contents'
  | 'unreadable';

/** Everything one tank's entries add up to, amended and struck, each list in order of (at, recorded, id).
 *  Nothing is left out for being odd, except as `setAside` says: an entry dated before the opening is in its list. */
export interface TankFacts {
  readonly tank: TankId;
  readonly name: string | undefined;
  readonly litres: { readonly value: number; readonly sd: number } | undefined;
  readonly temperatureC: number | undefined;
  readonly salinity: number | undefined;
  readonly pH: number | undefined;
  readonly alkalinityMeqL: number | undefined;
  readonly surfaces: readonly Surface[];
  readonly route: Route | undefined;
  /** Epoch milliseconds of day 0: as declared, else the first entry's instant. Undefined with no entry at all. */
  readonly opened: number | undefined;
  /** Every statement about the tank as it was made, so that a change of temperature, say, can be dated. */
  readonly statements: readonly Stamped<TankBody>[];
  readonly kits: ReadonlyMap<string, Stamped<KitBody>>;
  readonly readings: readonly Stamped<ReadingBody>[];
  /** Readings that contradict the kit they name: not to be reckoned with until someone corrects them (see doubts). */
  readonly setAside: readonly Stamped<ReadingBody>[];
  readonly doses: readonly Stamped<DoseBody>[];
  readonly cultures: readonly Stamped<CultureBody>[];
  readonly foods: readonly Stamped<FoodBody>[];
  readonly exchanges: readonly Stamped<ExchangeBody>[];
  readonly topoffs: readonly Stamped<TopoffBody>[];
  readonly arrivals: readonly Stamped<ArrivalBody>[];
  readonly losses: readonly Stamped<LossBody>[];
  readonly postures: readonly Stamped<PostureBody>[];
  readonly notes: readonly Stamped<NoteBody>[];
  /** Entries of kinds this version does not know, or of known ones it cannot read, kept whole, as they stand after corrections. */
  readonly others: readonly Entry[];
  readonly doubts: readonly FactDoubt[];
}
