package terminal

import (
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strings"
	"sync"
	"syscall"
	"testing"
)

// Build builds the program, once for all tests of a package, and returns the path of the binary.
func Build(t testing.TB) string {
	t.Helper()
	heedHangups()
	path, err := build()
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// heedHangups lets a program that is started from here be hung up. What whoever runs the tests has set
// aside, as nohup does, it would inherit; what is listened for here it does not.
func heedHangups() {
	if signal.Ignored(syscall.SIGHUP) {
		signal.Notify(make(chan os.Signal, 1), syscall.SIGHUP)
	}
}

// build makes the binary the way its users get it, without a stamp from version control, whose tools may be
// missing. Where the tests run under the race detector, so does the program; one that finds a race ends
// with 66.
var build = sync.OnceValues(func() (string, error) {
	// go test removes the folder it built the tests in with all that is there. A test binary that was built
	// to stay (go test -c) leaves the program among the temporary files.
	parent := filepath.Dir(os.Args[0])
	if !strings.Contains(parent, string(filepath.Separator)+"go-build") {
		parent = ""
	}
	dir, err := os.MkdirTemp(parent, "bendbook-")
	if err != nil {
		return "", err
	}
	path := filepath.Join(dir, "bendbook")
	if runtime.GOOS == "windows" {
		path += ".exe"
	}
	args := []string{"build", "-buildvcs=false", "-o", path}
	if info, ok := debug.ReadBuildInfo(); ok && strings.Contains(info.String(), "-race=true") {
		args = append(args, "-race")
	}
	out, err := exec.Command("go", append(args, "bendbook")...).CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("building the program: %w\n%s", err, out)
	}
	return path, nil
})
