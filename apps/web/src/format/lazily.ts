/** Made when it is first asked for: what prints dates and numbers takes a browser a while to set up. */
export function lazily<T>(make: () => T): () => T {
  let made: { readonly one: T } | undefined;
  return () => {
    made ??= { one: make() };
    return made.one;
  };
}
