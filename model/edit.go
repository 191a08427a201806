package model

import "encoding/json"

const KindEdit Kind = "bow"

// Edit changes the bow's description.
type Edit struct {
	// Set is a JSON merge patch (RFC 7396) for the description as its record writes it.
	Set []byte
}

func (Edit) Kind() Kind { return KindEdit }

func (e *Edit) Fields(c Codec) { c.Patch("set", &e.Set) }

// Say names what changed if only widths and depths did.
func (e Edit) Say(Bow) string {
	changed := "description changed"
	var set map[string]map[string]map[string]json.RawMessage
	if json.Unmarshal(e.Set, &set) != nil || len(set) != 1 || len(set["limbs"]) == 0 {
		return changed
	}
	for _, limb := range set["limbs"] {
		for field := range limb {
			if field != "widths" && field != "depths" {
				return changed
			}
		}
	}
	return "widths and depths measured"
}

func (Edit) check(Bow) error { return nil }
