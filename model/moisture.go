package model

import (
	"fmt"
	"strings"

	"bendbook/model/measure"
)

// Moisture is the moisture of the bow's wood, or of the air around it.
type Moisture struct {
	Where    Air
	Content  measure.Optional[float64] // of the wood by a moisture meter, a fraction of its dry weight
	Celsius  measure.Optional[float64] // of the air
	Humidity measure.Optional[float64] // relative, of the air, a fraction
}

// Air is the air that a moisture was measured in.
type Air string

// The places that a record may name.
const (
	ShopAir Air = "shop"
	HomeAir Air = "customer" // where the bow goes
)

func (Moisture) Kind() Kind { return "moisture" }

func (e *Moisture) Fields(c Codec) {
	c.Word("where", (*string)(&e.Where))
	c.MaybeNumber("content", &e.Content)
	c.MaybeNumber("celsius", &e.Celsius)
	c.MaybeNumber("humidity", &e.Humidity)
}

func (e Moisture) Say(of Bow) string {
	var parts []string
	if content, known := e.Content.Get(); known {
		parts = append(parts, fmt.Sprintf("wood at %.1f%%", 100*content))
	}
	if celsius, known := e.Celsius.Get(); known {
		parts = append(parts, "air of "+of.sayWarmth(celsius))
	}
	if humidity, known := e.Humidity.Get(); known {
		parts = append(parts, fmt.Sprintf("%.0f%% relative humidity", 100*humidity))
	}
	where := "in the shop"
	if e.Where == HomeAir {
		where = "where the bow goes"
	}
	return fmt.Sprintf("moisture %s: %s", where, strings.Join(parts, ", "))
}

// WarmthUnit is the unit for temperatures: F for a bow measured in inches, else C.
func (b Bow) WarmthUnit() string {
	if b.Units.Length == measure.Inch {
		return "F"
	}
	return "C"
}

// sayWarmth is a temperature in the bow's unit: 68 F.
func (b Bow) sayWarmth(celsius float64) string {
	if b.WarmthUnit() == "F" {
		return fmt.Sprintf("%.0f F", 1.8*celsius+32)
	}
	return fmt.Sprintf("%.0f C", celsius)
}

// check allows what package wood can answer.
func (e Moisture) check(Bow) error {
	content, celsius, humidity := e.Content.Or(0), e.Celsius.Or(0), e.Humidity.Or(0)
	switch {
	case e.Where != ShopAir && e.Where != HomeAir:
		return Fault("where", "choose shop or customer")
	case !(content >= 0 && content <= 1):
		return Fault("content", "write the moisture as a fraction, such as 0.09")
	case !(celsius >= -20 && celsius <= 60):
		return Fault("celsius", "type a temperature from -20 to 60 °C")
	case !(humidity >= 0 && humidity <= 0.98):
		return Fault("humidity", "write the humidity as a fraction, from 0 to 0.98")
	}
	return nil
}
