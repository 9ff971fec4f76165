/** One reading for all who ask before it is answered, such as the gauges of one scrape. */
export function askedTogether<T>(read: () => Promise<T>): () => Promise<T> {
  let asked: Promise<T> | null = null;
  return () => {
    asked ??= read().finally(() => {
      asked = null;
    });
    return asked;
  };
}
