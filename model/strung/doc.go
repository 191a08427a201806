// Package strung solves the strung wooden bow: two elastic limbs on a rigid handle, bent by a string that is
// hooked at its middle or a little off it. From stiffness and rest bend along the limbs it gives the draw
// force, tension, brace and work, what a rule or a block would read on the limbs, and the exact derivatives
// of all of these.
//
// # The problem
//
// The line runs through the belly at the two limb roots, with its origin at the middle of the handle; x runs
// along it towards the upper nock, y across it the way the string is drawn. Each limb is described in its own
// frame, whose x runs outwards from the middle of the handle, so that the lower limb is a mirrored upper one.
// With s the distance from the root along the limb, θ(s) the slope, κ the curvature, κ₀ the curvature of the
// unstrung limb (rest bend) and B the stiffness E·I, a limb obeys
//
//	dx/ds = cos θ,  dy/ds = sin θ,  dθ/ds = κ,  θ(0) = 0,
//	B·(κ − κ₀) = M(s) = T·d(s),
//
// where T is the tension of its half of the string and d(s) the distance of the limb from that half's line of
// action. This is Euler's elastica with variable stiffness; for bows see Kooi & Sparenberg, J. Eng. Math. 14
// (1980) 27–45. The string does not stretch, the hook does not slide, nothing has weight. Where the string
// would lie on a limb (a strongly reflexed bow at low brace), [ErrTouch] refuses the bow.
//
// # How it is solved
//
// In a frame that lies along its half of the string a limb needs only the angle φ between limb and string and
// the distances d (square to the string) and e (along it), all measured from the nock, with σ = L − s:
//
//	dφ/dσ = −(κ₀ + T·d/B),  dd/dσ = sin φ,  de/dσ = cos φ.
//
// From the angle at the nock and the tension these give the limb outright, without iteration, and since the
// limb leaves the handle along the line, the angle reached at the root is the angle of the string itself. So
// a drawn bow has just four unknowns: the two nock angles and the two tensions.
//
// Both parts of these equations have exact solutions: straight runs at constant φ and turns at constant d.
// The symmetric fourth-order splitting of Blanes & Moan, J. Comput. Appl. Math. 142 (2002) 313–330, composes
// them. What is solved is then itself a mechanical bow, a chain of straight links with an elastic hinge at
// each turn. So work equals stored energy to rounding error at any number of segments, and the derivatives
// are exact for the chain.
//
// Segments lie between knots, and where stiffness falls steeply they are halved, so that the grid follows the
// stiffness. Where a change of stiffness adds a segment, answers step by at most 1e-5 of the force, and
// mostly by far less.
//
// # Units
//
// The mathematics is unit free: any one unit of length L and any one of force F may be used, with stiffness
// in F·L², curvature in 1/L, moment and work in F·L and angles in radians. The rest of the program uses
// inches and pounds-force here.
package strung
