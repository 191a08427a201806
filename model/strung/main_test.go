package strung_test

import (
	"flag"
	"fmt"
	"os"
	"testing"
)

// long asks for the long versions of the property tests: go test -long.
var long = flag.Bool("long", false, "run every property on 20000 staves instead of 100")

func TestMain(m *testing.M) {
	flag.Parse()
	settings := map[string]string{"rapid.nofailfile": "true"}
	if *long {
		settings["rapid.checks"] = "20000"
	}
	for name, value := range settings {
		if err := flag.Set(name, value); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(2)
		}
	}
	os.Exit(m.Run())
}
