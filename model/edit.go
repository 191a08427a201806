package model

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"
)

const KindEdit Kind = "bow"

// Edit changes the bow's description.
type Edit struct {
	// Set is a JSON merge patch (RFC 7396) for the description as its record writes it.
	Set []byte
}

func (Edit) Kind() Kind { return KindEdit }

func (e *Edit) Fields(c Codec) { c.Patch("set", &e.Set) }

// Say names what changed.
func (e Edit) Say(Bow) string {
	var set any
	_ = json.Unmarshal(e.Set, &set) // as it was read
	fields := make(map[string]bool)
	leaves("", set, fields)
	delete(fields, "")
	names := strings.ReplaceAll(strings.Join(slices.Sorted(maps.Keys(fields)), ", "), "_", " ")
	switch names {
	case "":
		return "description changed"
	case "depths", "widths", "depths, widths":
		return "widths and depths measured"
	}
	return "description changed: " + names
}

// leaves collects the names of a patch's values.
func leaves(name string, patch any, into map[string]bool) {
	parts, isObject := patch.(map[string]any)
	if !isObject {
		into[name] = true
	}
	for part, value := range parts {
		leaves(part, value, into)
	}
}

func (Edit) check(Bow) error { return nil }
