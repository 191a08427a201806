package ui

import "bendbook/session/advice"

// advises are the settings of what the readings say of a bow of this wood: usual, with what the shop's own finished bows lost.
// Where that cannot be told, common practice stands.
func (d *Desk) advises(wood string) advice.Settings {
	takes, err := d.Shop.Allowances(wood)
	if err != nil {
		return advice.Usual()
	}
	return advice.Usual().Taking(takes)
}
