package form

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

func moistureKind() Kind {
	k := asks(Kind{
		Name:  "moisture",
		About: "How damp the wood is by a meter, or the air that the bow lies in, here or where it goes.",
	}, moistureTable)
	k.correct = nil // it is measured anew
	return k
}

// Moisture asks how damp the wood is, by a meter, or the air that it lies in, in the shop or where the bow
// goes.
func Moisture(story session.Story) *Sheet { return moistureKind().Of(story) }

func moistureTable(story session.Story, _ model.Moisture) table[model.Moisture] {
	places := []string{string(model.ShopAir), string(model.HomeAir)}
	unit := story.Bow().WarmthUnit()
	return table[model.Moisture]{
		fields: []field[model.Moisture]{
			textField("where", Question{Must: true, Preset: places[0], Choices: places,
				Hint: "1 shop, 2 customer: where the bow goes"},
				func(m *model.Moisture) *model.Air { return &m.Where }),
			optionalField("content", Question{Label: "meter", Unit: "%",
				Hint: "what a moisture meter reads in the wood, such as 9; Enter alone for none"},
				shares(60), func(m *model.Moisture) *measure.Optional[float64] { return &m.Content }),
			optionalField("celsius", Question{Name: "warmth", Label: "air", Unit: unit,
				Hint: "temperature of the air, such as 20C or 68F; Enter alone for none"},
				warmths(unit), func(m *model.Moisture) *measure.Optional[float64] { return &m.Celsius }),
			optionalField("humidity", Question{Unit: "%", Hint: "relative humidity of the air, such as 50; " +
				"Enter alone for none"},
				shares(98), func(m *model.Moisture) *measure.Optional[float64] { return &m.Humidity }),
		},
		whole: func(_ *Sheet, m *model.Moisture) error {
			if !m.Content.Known() && (!m.Celsius.Known() || !m.Humidity.Known()) {
				return errors.New("that tells nothing: type what the meter reads, or temperature and humidity of the air")
			}
			return nil
		},
	}
}

// warmths are temperatures in °C that are typed with C or F, or in the usual unit.
func warmths(usual string) notation[float64] {
	return simple(aNumber, func(text string) (float64, error) {
		number, unit := strings.ToUpper(strings.ReplaceAll(text, "°", "")), usual
		for _, u := range []string{"C", "F"} {
			if rest, found := strings.CutSuffix(number, u); found {
				number, unit = rest, u
			}
		}
		v, err := parseNumber(number)
		if unit == "F" {
			v = (v - 32) / 1.8
		}
		if err != nil || v < -20 || v > 60 {
			return 0, fmt.Errorf("%q is no temperature of a shop; expected one such as 20C or 68F", text)
		}
		// To a hundredth: what a thermometer says, not what the conversion adds.
		return math.Round(100*v) / 100, nil
	}, plainNumber)
}

func parseNumber(text string) (float64, error) {
	v, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(text), ",", ".", 1), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%q isn't a number", text)
	}
	return v, nil
}
