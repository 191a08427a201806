package ui

import "regexp"

// leftToRight is U+200E, which no terminal shows: what stands behind it goes on from left to right.
const leftToRight = "\u200e"

// runs are letters written from right to left with what joins them: blanks one at a time, signs, marks.
var runs = regexp.MustCompile(
	`(?:[\p{Hebrew}\p{Arabic}\p{Syriac}\p{Thaana}\p{Nko}\p{Adlam}]\p{Mn}*(?:(?:[^\pL\pN\x1b\n─-█ ]* )?[^\pL\pN\x1b\n─-█ ]*` +
		`[\p{Hebrew}\p{Arabic}\p{Syriac}\p{Thaana}\p{Nko}\p{Adlam}]\p{Mn}*)*)`)

// steady closes each run of letters that are written from right to left by a mark, so that a terminal that
// turns them round leaves what stands behind them, mostly a column of figures, where it was put.
func steady(text string) string { return runs.ReplaceAllString(text, "$0"+leftToRight) }
