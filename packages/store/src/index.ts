/** Backends are entered through their own paths (`@brinewright/store/memory`, …), so that an app loads only its own. */
export type { JournalStore } from '@brinewright/journal';
