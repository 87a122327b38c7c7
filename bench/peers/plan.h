/* What a run passes through, as packages/nitrogen/src/plan.ts compiles it; the kinds the benchmark uses. */
enum { SEGMENT = 0, VIGOUR = 1, LOAD = 2, AMMONIA = 3, CULTURE = 7, EXCHANGE = 8, OUTPUT = 10 };

typedef struct {
  int stops;
  const double *days;
  const int *kinds;
  const int *slots;
  const double *segments;
} Plan;
