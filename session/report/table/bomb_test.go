package table

import (
	"strings"
	"testing"
	"time"
)

// What is no table but a weight on the machine is told of in few words, or taken as what it says.
func TestBombsAreToldOfInFewWords(t *testing.T) {
	for name, file := range map[string]string{
		"200,000 columns":           "kind,draw,peak" + strings.Repeat(",x", 200_000) + "\npull,18,31\n",
		"a row of 200,000 cells":    "kind,draw,peak\npull,18,31" + strings.Repeat(",1", 200_000) + "\n",
		"a cell of two megabytes":   "kind,draw,peak\npull,\"" + strings.Repeat("9", 2<<20) + "\",31\n",
		"a name of two megabytes":   "kind,draw,peak,\"" + strings.Repeat("x\n", 1<<20) + "\"\npull,18,31,1\n",
		"a quote that never closes": "kind,draw,peak\npull,18,\"" + strings.Repeat("31\n", 200_000),
		"nothing but line ends":     "kind,draw,peak\n" + strings.Repeat("\n", 200_000),
		"nothing but bytes of zero": strings.Repeat("\x00", 200_000),
	} {
		told, err := Read(strings.NewReader(file), longbow(), time.UTC)
		said := ""
		if err != nil {
			said = err.Error()
		}
		for _, row := range told.Rows {
			if row.Fault != nil {
				said += row.Fault.Error()
			}
			said += row.Says
		}
		if said += strings.Join(told.Unused, ", "); len(said) > 1000 {
			t.Errorf("%s: %d bytes are said: %.200q...", name, len(said), said)
		}
	}
}
