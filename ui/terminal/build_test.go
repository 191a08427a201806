package terminal

import (
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"syscall"
	"testing"
)

// Build builds the program, once for all tests of a package, and returns the
// path of the binary.
func Build(t testing.TB) string {
	t.Helper()
	heedHangups()
	path, err := build()
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// heedHangups lets a program that is started from here be hung up. What whoever runs the tests has set aside, as nohup does, it would inherit; what is
// listened for here it does not.
func heedHangups() {
	if signal.Ignored(syscall.SIGHUP) {
		signal.Notify(make(chan os.Signal, 1), syscall.SIGHUP)
	}
}

// build makes the binary the way its users get it, without a stamp from version
// control, whose tools may be missing. Where the tests run under the race
// detector, so does the program: what it does beside the keys' way is really
// beside it only there. One that finds a race ends with 66.
var build = sync.OnceValues(func() (string, error) {
	dir, err := binaryDir()
	if err != nil {
		return "", err
	}
	path := filepath.Join(dir, "bendbook")
	if runtime.GOOS == "windows" {
		path += ".exe"
	}
	args := []string{"build", "-buildvcs=false", "-o", path}
	if watched {
		args = append(args, "-race")
	}
	out, err := exec.Command("go", append(args, "bendbook")...).CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("building the program: %w\n%s", err, out)
	}
	return path, nil
})

// binaryDir is a new folder for the binary. No test outlives the others, so
// none could remove it; but go test removes the folder it built the tests in
// with all that is there, so it lies there. A test binary that was built to
// stay (go test -c) leaves it among the temporary files.
func binaryDir() (string, error) {
	parent := ""
	if exe, err := os.Executable(); err == nil {
		dir := filepath.Dir(exe)
		if strings.Contains(dir, string(filepath.Separator)+"go-build") {
			parent = dir
		}
	}
	return os.MkdirTemp(parent, "bendbook-")
}
