package command

import (
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/rivo/uniseg"
	"github.com/spf13/cobra"

	"bendbook/model/date"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/shop"
	"bendbook/session/verdict"
)

func listCommand(world *World) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "list",
		Short: "List the bows of the book",
		Long:  "List the bows of the book: those in hand first, by the day they are due.",
		Args:  takes(0, 0, noArgument),
		RunE: func(*cobra.Command, []string) error {
			return withShop(world, true, func(s *shop.Shop) error {
				rows, err := s.Rack()
				if err != nil {
					return err
				}
				if asJSON {
					judgeRows(s, rows)
					return listJSON(world.Out, rows, world.Place)
				}
				return listText(world.Out, rows, world.Place)
			})
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document instead of a table")
	return cmd
}

// judgeRows works out the verdicts that the book doesn't have yet, of the bows in hand. One that can't be
// worked out stays without.
func judgeRows(s *shop.Shop, rows []shop.Row) {
	for i, row := range rows {
		if !row.InHand || row.Damage != nil || row.Verdict.Do != "" {
			continue
		}
		if v, err := s.Judge(row.Bow.ID); err == nil {
			rows[i].Verdict = v
		}
	}
}

func listText(w io.Writer, rows []shop.Row, place *time.Location) error {
	if len(rows) == 0 {
		_, err := fmt.Fprintln(w, "The book has no bows yet.")
		return err
	}
	table := [][]string{{"NAME", "NUMBER", "STAGE", "SO FAR", "ORDER", "LAST"}}
	for _, row := range rows {
		soFar, last := "", ""
		if pull, ok := row.Pull.Get(); ok {
			soFar = session.SayPeak(row.Bow, pull)
		}
		if !row.Last.IsZero() {
			last = row.Last.In(place).Format(time.DateOnly)
		}
		table = append(table, []string{
			session.NameOf(row.Bow), plain.Line(row.Bow.Number), row.Stage, soFar,
			session.SayOrder(row.Bow, date.ISO), last,
		})
	}
	return writeTable(w, table)
}

func writeTable(w io.Writer, table [][]string) error {
	widths := make([]int, len(table[0]))
	for _, line := range table {
		for i, cell := range line {
			widths[i] = max(widths[i], uniseg.StringWidth(cell))
		}
	}
	for _, line := range table {
		out := ""
		for i, cell := range line {
			out += cell + strings.Repeat(" ", widths[i]-uniseg.StringWidth(cell)+2)
		}
		if _, err := fmt.Fprintln(w, strings.TrimRight(out, " ")); err != nil {
			return err
		}
	}
	return nil
}

// listedBow is a bow in the JSON list. Units says what its lengths and forces are in.
type listedBow struct {
	ID       string     `json:"id"`
	Name     string     `json:"name"`
	Number   string     `json:"number,omitempty"`
	Wood     string     `json:"wood,omitempty"`
	For      string     `json:"for,omitempty"`
	Due      string     `json:"due,omitempty"`
	Stage    string     `json:"stage"`
	Do       verdict.Do `json:"do"`                 // the verdict's word; see bendbook advise
	Say      string     `json:"say"`                // the same in a sentence
	Earliest string     `json:"earliest,omitempty"` // the first day on which it can be handed over
	InHand   bool       `json:"in_hand"`
	Pass     int        `json:"pass"`
	Last     *time.Time `json:"last,omitempty"`
	Units    any        `json:"units"`
	Weight   *float64   `json:"weight,omitempty"`
	Draw     *float64   `json:"draw,omitempty"`
	Peak     *float64   `json:"peak,omitempty"`
	PeakAt   *float64   `json:"peak_at,omitempty"`
	Sessions int        `json:"sessions"`
}

func listJSON(w io.Writer, rows []shop.Row, place *time.Location) error {
	list := struct {
		Format  string      `json:"format"`
		Version int         `json:"version"`
		Bows    []listedBow `json:"bows"`
	}{Format: "bendbook/list", Version: 1, Bows: []listedBow{}}
	for _, row := range rows {
		bow := row.Bow.AsKept()
		listed := listedBow{
			ID: bow.ID, Name: bow.Name, Number: bow.Number, Wood: bow.Wood, For: bow.Order.For,
			Due: string(bow.Order.Due), Stage: row.Stage, Do: row.Verdict.Do, Say: row.Verdict.Say,
			InHand: row.InHand, Pass: row.Pass, Units: bow.Units, Sessions: row.Sessions,
		}
		if !row.Handover.IsZero() {
			listed.Earliest = row.Handover.In(place).Format(time.DateOnly)
		}
		if !row.Last.IsZero() {
			listed.Last = &row.Last
		}
		force := func(f measure.Force) float64 { return f.In(bow.Units.Force) }
		length := func(l measure.Length) float64 { return l.In(bow.Units.Length) }
		listed.Weight, listed.Draw = number(bow.Order.Weight, force), number(bow.Order.Draw, length)
		if pull, known := row.Pull.Get(); known {
			listed.PeakAt, listed.Peak = number(measure.Some(pull.Draw), length), number(pull.Peak, force)
		}
		list.Bows = append(list.Bows, listed)
	}
	return writeJSON(w, list)
}

func number[T any](o measure.Optional[T], in func(T) float64) *float64 {
	v, known := o.Get()
	if !known {
		return nil
	}
	n := in(v)
	return &n
}
