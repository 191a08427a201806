// Package links is bows of stiff links, for tests: a generator and a solver that share nothing with those
// that the estimate uses. Inches, pounds-force and radians.
package links
