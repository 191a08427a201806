// Package graph draws curves in character cells: any number of series over a common, true horizontal
// distance.
//
// It is the only place that knows asciigraph, which draws good lines but resamples by index, loses peaks,
// rounds its own row count and panics on empty or infinite data. So this package does the scaling and the
// resampling, hands over whole rows for whole columns, and takes back only the glyphs. Every picture has
// Plot.Height lines of Plot.Width cells; every finite reading is shown in its own column and row; over a
// missing one there is a gap; and readings mirrored about the middle give a mirrored picture.
//
// It must not know what is measured, nor any colour: labels and styles are the caller's.
package graph
