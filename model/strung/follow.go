package strung

import "math"

// follow moves a parameter from one value to another by calling try at places on the way. It returns the last
// value that succeeded, and whether that was the goal.
func follow(from, to float64, try func(v float64) bool) (float64, bool) {
	here, stride := from, to-from
	finest := math.Abs(stride) * 1e-5
	for range mostStrides {
		next := here + stride
		if math.Abs(stride) >= math.Abs(to-here) {
			next, stride = to, to-here
		}
		if try(next) {
			if next == to {
				return to, true
			}
			here = next
			stride *= 2
			continue
		}
		stride /= 2
		if math.Abs(stride) < finest {
			break
		}
	}
	return here, false
}

// A held limb is one limb braced by itself, by a string that runs along the line.
type held struct {
	phi, tension float64
}

// hold solves one limb with its nock at the given height and its string along the line, from a first guess:
// two equations for the nock angle and the tension.
func (c *chain) hold(height float64, x held) (held, bool) {
	var e end
	sys := system{n: 2}
	size := c.limb.Length
	measure := func(x held) (res [4]float64) {
		c.ends(x.phi, x.tension, &e)
		return [4]float64{e.phi, (e.y - height) / size}
	}
	if !c.patience.look() {
		return x, false
	}
	res := measure(x)
	for range newtonSteps {
		worst := largest(res)
		if math.IsNaN(worst) {
			return x, false
		}
		if worst < closed {
			return x, x.tension > 0
		}
		sys.a[0] = [4]float64{e.phiA, e.phiT * c.pull}
		sys.a[1] = [4]float64{e.yA / size, e.yT * c.pull / size}
		if !sys.factor() {
			return x, false
		}
		step := sys.solve(res)
		fraction := 1.0
		if a := math.Abs(step[0]); a > 0.3 {
			fraction = 0.3 / a
		}
		if t := step[1] * c.pull; t*fraction > 0.7*x.tension {
			fraction = 0.7 * x.tension / t
		}
		for halved := 0; ; halved++ {
			if !c.patience.look() {
				return x, false
			}
			next := held{x.phi - fraction*step[0], x.tension - fraction*step[1]*c.pull}
			if r := measure(next); largest(r) < worst*(1-0.1*fraction) {
				x, res = next, r
				break
			}
			if halved == 8 {
				return x, false
			}
			fraction /= 3
		}
	}
	return x, false
}

// holdFrom finds the held limb from nothing: straight first, at its height, then with rest bend.
func (c *chain) holdFrom(height float64) (held, bool) {
	straight := *c
	straight.turns = append([]turn(nil), c.turns...)
	scale := func(share float64) {
		for i := range straight.turns {
			straight.turns[i].rest = share * c.turns[i].rest
		}
	}
	scale(0)
	// At a given small angle the string's angle at the root falls from that angle with rising tension, ever
	// less steeply, to nothing at the least tension that holds the limb bent. Newton's method from no tension
	// therefore never steps past it.
	x := held{phi: min(0.05, 0.5*height/c.limb.Length)}
	var e end
	for range 60 {
		straight.ends(x.phi, x.tension, &e)
		if e.phi < 1e-9 {
			break
		}
		x.tension -= e.phi / e.phiT
	}
	try := func(goal float64) bool {
		next, ok := straight.hold(goal, x)
		if ok {
			x = next
		}
		return ok
	}
	if _, ok := follow(e.y, height, try); !ok {
		return x, false
	}
	_, ok := follow(0, 1, func(share float64) bool {
		scale(share)
		return try(height)
	})
	return x, ok
}
