package strung

import (
	"errors"
	"fmt"
	"math"
	"math/rand"
	"testing"
)

func rlimb(r *rand.Rand, L, scale float64) Limb {
	n := 2 + r.Intn(19)
	l := Limb{Length: L}
	ratio := math.Pow(50, r.Float64())
	p := 0.5 + 1.5*r.Float64()
	amp := (r.Float64()*2 - 1) * 3
	q := 1 * r.Float64()
	var rise float64
	for i := range n {
		u := float64(i) / float64(n-1)
		l.At = append(l.At, u*L)
		b := scale * (1/ratio + (1-1/ratio)*math.Pow(1-u, p))
		if i > 0 && i < n-1 {
			b *= math.Exp(0.25 * (2*r.Float64() - 1))
		}
		l.Stiffness = append(l.Stiffness, b)
		k := math.Pow(u+.05, q) * (1 + 0.3*(2*r.Float64()-1))
		l.RestBend = append(l.RestBend, k)
	}
	l.At[n-1] = L
	for i := 0; i < n-1; i++ {
		m := (l.RestBend[i] + l.RestBend[i+1]) / 2
		u := (l.At[i] + l.At[i+1]) / 2
		rise += m * (l.At[i+1] - l.At[i]) * (L - u)
	}
	for i := range l.RestBend {
		l.RestBend[i] *= amp / rise
	}
	return l
}
func rbow(r *rand.Rand) Bow {
	L := 10 + 35*r.Float64()
	sc := math.Pow(10, 2+3*r.Float64())
	b := Bow{Handle: 12 * r.Float64() * L / 45, Upper: rlimb(r, L, sc), Lower: rlimb(r, L*(0.9+0.2*r.Float64()), sc*(0.8+0.4*r.Float64()))}
	if r.Intn(2) == 0 {
		b.Between = LogLinear
	}
	return b
}
func TestTry(t *testing.T) {
	cnt := map[string]int{}
	maxerr := 0.0
	segs := 0
	worst := 0.0
	N := 20000
	for i := range N {
		r := rand.New(rand.NewSource(int64(i)))
		b := rbow(r)
		H := b.Upper.Length + b.Handle/2
		pr, _ := New(b, ByBrace(1))
		rs := pr.atRest()
		s0, s1 := rs[0].y, rs[1].y
		br := (0.12+0.1*r.Float64())*H + max(0, -s0-s1)/4
		D := br + (0.55*r.Float64()+.1)*H
		s, err := New(b, ByBrace(br))
		if err != nil {
			t.Fatal(err)
		}
		segs += len(s.chains[0].node) - 1
		var sol Solution
		err = s.Brace(&sol)
		if err == nil {
			err = s.Draw(D, &sol)
			if err != nil {
				var e *Error
				errors.As(err, &e)
				cnt["draw "+e.Err.Error()]++
				if cnt["draw "+e.Err.Error()] < 4 {
					fmt.Println(i, err, s.start.draw, b.Upper.Length)
				}
				continue
			}
			if i%10 == 0 {
				s2, _ := New(b, ByBrace(br), Segments(96))
				var sol2 Solution
				if err := s2.Draw(D, &sol2); err != nil {
					fmt.Println("fine fails", i, err)
					continue
				}
				e := math.Abs(sol.Force/sol2.Force - 1)
				if e > maxerr {
					maxerr = e
					fmt.Println("err", i, e, len(s.chains[0].node)-1, s.traces[0].sharpest, s.traces[1].sharpest)
				}
				_ = worst
			}
		} else {
			var e *Error
			errors.As(err, &e)
			cnt["brace "+e.Err.Error()]++
			if cnt["brace "+e.Err.Error()] < 4 {
				fmt.Println(i, err, br, b.Upper.Length, s.atRest()[0].y, s.atRest()[1].y)
			}
		}
	}
	fmt.Println(cnt, float64(segs)/float64(N))
}
func TestSharp(t *testing.T) {
	l := Limb{Length: 34, At: []float64{0, 30.6, 34}, Stiffness: []float64{60000, 6000, 6000}}
	b := Bow{Handle: 4, Upper: l, Lower: l}
	s, _ := New(b, ByBrace(6))
	s2, _ := New(b, ByBrace(6), Segments(200))
	var a, c Solution
	for d := 40.0; d < 69; d += 2 {
		e1, e2 := s.Draw(d, &a), s2.Draw(d, &c)
		fmt.Println(d, a.Force, a.Force/c.Force-1, s.traces[0].sharpest, e1, e2)
	}
}
