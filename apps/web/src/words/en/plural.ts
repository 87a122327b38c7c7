/** One or many, in English. */
export const plural = (n: number, one: string, many: string): string => (n === 1 ? one : many);
