package virtualtest

import (
	"flag"
	"math/rand/v2"
	"slices"
	"testing"
)

// Series is how many virtual bows a test's tables are made of, and from which seed. A test that is asked for
// nothing takes few of them.
type Series struct {
	Long bool   // as many bows as the bars are stated for
	Bows int    // the number of bows of every table; 0 for the usual
	Seed uint64 // of all tables
}

// SeriesFlags are the flags -long, -bows and -seed of a package's tests. seed is the one to be taken where
// none is given; it should not be one of those that the package's own figures were found with.
func SeriesFlags(seed uint64) *Series {
	s := &Series{}
	flag.BoolVar(&s.Long, "long", false, "hold tables of hundreds of virtual bows to their bars")
	flag.IntVar(&s.Bows, "bows", 0, "number of virtual bows, 0 for the usual")
	flag.Uint64Var(&s.Seed, "seed", seed, "seed of the virtual bows")
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
