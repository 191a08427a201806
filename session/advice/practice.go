package advice

import "bendbook/session"

// PracticeFor are the settings of what the readings say of a bow of a wood in a shop: usual, with what the shop's own finished bows lost.
// Where that cannot be told, common practice stands.
func PracticeFor(shop *session.Shop, wood string) Settings {
	takes, err := shop.Allowances(wood)
	if err != nil {
		return Usual()
	}
	return Usual().Taking(takes)
}
