package shop

import (
	"strings"

	"bendbook/model/finish"
	"bendbook/model/wood"
	"bendbook/session/verdict"
)

// losses are what finished bows lost, by the kind of their wood. They never change.
type losses struct {
	settings          finish.Settings
	sanding, settling map[string][]float64
	takes             map[string]finish.Allowances // by the wood as the maker writes it, which is quicker
}

// lossesOf finds what was weighed before and after. Damaged bows teach nothing.
func lossesOf(settings finish.Settings, rows []*Row) *losses {
	all := &losses{
		settings: settings, takes: make(map[string]finish.Allowances),
		sanding: make(map[string][]float64), settling: make(map[string][]float64),
	}
	for _, row := range rows {
		if row.Damage != nil {
			continue
		}
		first, _ := settings.Weighings(verdict.LogOf(row.Facts, row.Last.Location()))
		kind := wood.Kind(row.Bow.Wood)
		if lost, known := first.Sanding().Get(); known {
			all.sanding[kind] = append(all.sanding[kind], lost)
		}
		if lost, known := first.Settling().Get(); known {
			all.settling[kind] = append(all.settling[kind], lost)
		}
	}
	for _, row := range rows {
		all.takes[row.Bow.Wood] = all.allowances(row.Bow.Wood)
	}
	return all
}

// allowances are what the shop has learnt for a wood, or common practice if no wood is named.
func (l *losses) allowances(named string) finish.Allowances {
	if known, ok := l.takes[named]; ok {
		return known
	}
	var sanding, settling []float64
	if strings.TrimSpace(named) != "" {
		kind := wood.Kind(named)
		sanding, settling = l.sanding[kind], l.settling[kind]
	}
	usual := l.settings.Allowances
	return finish.Allowances{
		Sanding:  finish.Learn(usual.Sanding.Share(), sanding),
		Settling: finish.Learn(usual.Settling.Share(), settling),
	}
}
