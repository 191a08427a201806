// Package saytest holds tongues for the tests of whatever says texts.
package saytest

import "bendbook/model/say"

// Tongue says each text in its own way; which text goes with a number it takes from English.
type Tongue func(say.Word) string

// Say implements say.Tongue.
func (t Tongue) Say(word say.Word) string { return t(word) }

// SayMany implements say.Tongue.
func (t Tongue) SayMany(n int, one, many say.Word) string { return t(say.Count(n, one, many)) }

// Umlauts begins every text with a letter of two bytes.
func Umlauts(word say.Word) string { return "ü" + string(word) }

// Quotes sets every text in quotes.
func Quotes(word say.Word) string { return "«" + string(word) + "»" }
