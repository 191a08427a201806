// Package plan says where to take wood: how much stiffness to take off between which marks of which limb, so
// that a bow comes to its weight, its tiller and its aim at the ordered draw; what it would then be; and when
// to stop.
//
// Wood can't be put back, so a plan goes only a share of the way, does less for evenness where the readings
// show little, leaves a named hinge alone, and leaves 19 bows in 20 at no less than the least weight wanted.
// Its cuts are long enough for a scraper, fade out at their ends and take a twentieth of the depth at most.
//
// Units are those of package estimate: inches, pounds-force, losses as differences of the natural logarithm
// of stiffness. What a stroke takes is learnt here (strokes.go); a plan itself knows nothing of strokes, and
// the package nothing of clocks, files, records or units that users type.
package plan
