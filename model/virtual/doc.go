// Package virtual is the virtual tree: random staves with a known truth on a fine grid, the readings that a maker
// would take of them with a maker's errors, and scrapings that take off about what was meant. Tests judge by it
// what is made of readings; it serves nothing else.
//
// Everything comes from the random numbers handed in, so that a seed tells a whole bow.
// Inches, pounds-force, lbf·in² and 1/in, as in package estimate. It must not know how
// an estimate is made.
package virtual
