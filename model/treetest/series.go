package treetest

import (
	"flag"
	"math/rand/v2"
	"slices"
	"testing"
)

// Series is how many computed bows a test's tables are made of, and from which seed. A test that is asked for
// nothing takes few of them.
type Series struct {
	Long bool   // as many bows as the bars are stated for
	Bows int    // the number of bows of every table; 0 for the usual
	Seed uint64 // of all tables
}

// SeriesFlags adds the flags -long, -bows and -seed to the tests of a package. seed is the default; pick one
// that no constant of the package was tuned on.
func SeriesFlags(seed uint64) *Series {
	s := &Series{}
	flag.BoolVar(&s.Long, "long", false, "hold tables of hundreds of computed bows to their bars")
	flag.IntVar(&s.Bows, "bows", 0, "number of computed bows, 0 for the usual")
	flag.Uint64Var(&s.Seed, "seed", seed, "seed of the computed bows")
	return s
}

// Count is the number of bows of a table: few, or many when the long series is asked for.
func (s *Series) Count(few, many int) int {
	switch {
	case s.Bows > 0:
		return s.Bows
	case s.Long:
		return many
	}
	return few
}

// Rand is the random numbers of one bow of one table. It logs the seed once a table.
func (s *Series) Rand(t testing.TB, table, bow int) *rand.Rand {
	t.Helper()
	if bow == 0 {
		t.Logf("seed %d, table %d", s.Seed, table)
	}
	return rand.New(rand.NewPCG(s.Seed+uint64(table)<<32, uint64(bow)))
}

// Quantile is a quantile of values, which it sorts.
func Quantile(v []float64, p float64) float64 {
	slices.Sort(v)
	return v[min(int(p*float64(len(v))), len(v)-1)]
}
