// Package estimate keeps what the readings say of a bow: one running Gaussian over the logarithm of stiffness
// and over rest bend at knots along both limbs, carried through the passes of scraping. From it follow, each
// with its band, the forecast, the stop line, the bend against an aim, the tiller, the string follow, flat
// spots and hinges.
//
// # How it goes
//
// [Bow.Prior] is the bow before any reading. [State.Fold] takes one pass: it lowers the mean where wood came
// off and widens the covariance there, then updates by all readings of the pass at once, by the iterated
// extended Kalman update, which is Gauss-Newton on the equilibrium of package strung (Bell & Cathey, IEEE
// Trans. Autom. Control 38 (1993) 294-297). The covariance is kept as a square root: with x = mean + root·z
// the prior of z is the unit Gaussian, and the information of the update is I + AᵀA, which is never ill
// conditioned. Readings far from the rest count for less, and wild ones are named.
//
// # Units
//
// Inches and pounds-force, stiffness in lbf·in², curvature in 1/in, angles in radians. Distances along a limb
// run from its root. Pairs of limbs are indexed by [model.Side].
package estimate
