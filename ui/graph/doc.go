// Package graph draws curves in character cells: any number of series over a
// common, true horizontal distance, exactly as wide and as high as it is told.
//
// It is the only place that knows asciigraph. That library draws good lines but
// resamples by index, loses peaks, rounds its own row count and panics on empty
// or infinite data; so this package does the scaling and the resampling itself,
// hands over whole rows for whole columns, and takes back only the glyphs.
//
// What holds for every picture:
//
//   - It has Plot.Height lines of Plot.Width cells, whatever the data.
//   - Every finite reading is shown in its own column and row. Between readings
//     the line is straight, over a missing one there is a gap as wide as the
//     distance between its neighbours.
//   - Readings mirrored about the middle give a mirrored picture.
//   - Where series meet, the later one is seen.
//   - No colour is made here: styles come from the caller and paint whole cells.
//
// It must not know what is measured: no bows, no units, no fractions. Labels
// are the caller's.
package graph
