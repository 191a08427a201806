// Package form asks the questions that make one entry, in the order in which one walks round the bow. A
// Question knows its unit, default, example and doubt; a Sheet is a list of them, the same for a screen, a
// line of words or a script; a Form is a sheet that is filled in, with its draft and where it is saved. The
// package knows no screen and no file.
package form
