package session

import (
	"strings"

	"bendbook/model"
)

// NocksOn says whether the horn nocks are on, so that the last part of the limbs need not be left stiff any more: a step
// of finishing that names the nocks was logged, or the bow was handed over.
func (s Story) NocksOn() bool {
	for _, done := range s.Finishes {
		if done.Step == model.HandedOver || strings.Contains(strings.ToLower(done.Step), "nock") {
			return true
		}
	}
	return false
}
