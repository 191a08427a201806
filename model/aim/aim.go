// Package aim holds the wanted distribution of bend along a limb, up to scale: the arc of a circle, an
// ellipse, stiffer at the handle, or the shape of a bow that turned out well. Every one eases to nothing at
// the nock, because the bending moment vanishes there.
//
// Places are shares of the limb, 0 at the root and 1 at the nock. The package knows nothing of bows.
package aim

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
)

// The names of aims as a record spells them; the last is that of a bow whose aim was never chosen.
const (
	CompassName     = "compass"
	EllipseName     = "ellipse"
	StiffHandleName = "stiff-handle"
	usual           = CompassName
)

// Names are the names of all aims but the shapes of other bows, the usual one first.
func Names() []string { return []string{CompassName, EllipseName, StiffHandleName} }

// as begins the name of an aim that is the shape of another bow.
const as = "as "

// Like is the name of the aim to bend as another bow does; bow is what that bow is known by.
func Like(bow string) string { return as + bow }

// LikeBow is what the other bow is known by in an aim's name; ok is false for any other aim.
func LikeBow(name string) (bow string, ok bool) {
	bow, ok = strings.CutPrefix(name, as)
	bow = strings.TrimSpace(bow)
	return bow, ok && bow != ""
}

// errName refuses a name, also that of another bow, which only [Shape] makes.
var errName = fmt.Errorf("must be %s, %s or %s", CompassName, EllipseName, StiffHandleName)

var errShape = errors.New("must be bends above 0 at rising places of the limb")

// An Aim is a wanted distribution of bend. The zero Aim is the full compass.
type Aim struct {
	name string
	at   []float64 // for the shape of another bow
	bend []float64
}

// Named is the aim of a name; "" is the usual one. The error is errName.
func Named(name string) (Aim, error) {
	switch {
	case name == "":
		return Aim{name: usual}, nil
	case slices.Contains(Names(), name):
		return Aim{name: name}, nil
	}
	return Aim{}, fmt.Errorf("aim %q: %w", name, errName)
}

// Shape is the aim to bend as another bow does: its bend at places of its limb, rising shares from 0 to 1,
// linear between them and easing to nothing beyond the last. The error is errShape.
func Shape(name string, at, bend []float64) (Aim, error) {
	if len(at) < 2 || len(bend) != len(at) {
		return Aim{}, errShape
	}
	for i := range at {
		if !(at[i] >= 0 && at[i] <= 1 && bend[i] > 0) || math.IsInf(bend[i], 0) || i > 0 && !(at[i] > at[i-1]) {
			return Aim{}, errShape
		}
	}
	return Aim{name: name, at: slices.Clone(at), bend: slices.Clone(bend)}, nil
}

// Name is the aim's name.
func (a Aim) Name() string {
	if a.name == "" {
		return usual
	}
	return a.name
}

const (
	// easing is the last part of a limb over which bend eases to nothing.
	easing = 0.2
	// The ellipse's half axis across the limb over that along it, and the parameter of the ellipse at which
	// its limb ends, where it slopes by 54 degrees. Common practice gives no figures; these make the last
	// part bend half as much again as the root.
	ellipseRatio = 0.8
	ellipseEnd   = 60 * math.Pi / 180
	// A limb stiffer at the handle bends this much there as a share of the rest, and fully from here on.
	handleShare = 0.6
	handleTo    = 0.35
)

// Bend is the wanted bend at the share u of a limb, up to scale; 0 at the nock and beyond.
func (a Aim) Bend(u float64) float64 {
	u = max(u, 0)
	if u >= 1 {
		return 0
	}
	if a.at != nil {
		return a.shape(u)
	}
	ease := min(1, (1-u)/easing)
	switch a.Name() {
	case EllipseName:
		// x = sin t, y = q(1 − cos t): curvature q/(cos²t + q²sin²t)^(3/2). The parameter t runs with the
		// share closely enough to stand for the arc.
		sin, cos := math.Sincos(u * ellipseEnd)
		return ease * math.Pow(cos*cos+ellipseRatio*ellipseRatio*sin*sin, -1.5)
	case StiffHandleName:
		return ease * min(1, handleShare+(1-handleShare)*u/handleTo)
	default:
		return ease
	}
}

// shape is the bend of another bow.
func (a Aim) shape(u float64) float64 {
	n := len(a.at)
	if last := a.at[n-1]; u > last {
		return a.bend[n-1] * (1 - u) / (1 - last)
	}
	k, _ := slices.BinarySearch(a.at, u)
	if k == 0 {
		return a.bend[0]
	}
	f := (u - a.at[k-1]) / (a.at[k] - a.at[k-1])
	return (1-f)*a.bend[k-1] + f*a.bend[k]
}
