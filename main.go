// Command bendbook is a bowyer's book: it keeps every pull at the tiller tree, shows both limbs pass by pass, and writes
// the summary of a session. This file joins the rooms: it opens the book, shows the screen or runs one command.
package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"runtime/debug"
	"strings"
	"syscall"
	"time"

	"github.com/adrg/xdg"
	"github.com/mattn/go-isatty"

	"bendbook/session"
	"bendbook/session/demo"
	"bendbook/storage"
	"bendbook/ui"
	_ "bendbook/ui/background" // before bubbletea asks the terminal
	"bendbook/ui/command"
	"bendbook/ui/look"
)

// The book that storage keeps is the one that session asks for.
var _ session.Book = (*storage.Book)(nil)

func main() { os.Exit(command.Run(world(), os.Args[1:])) }

func world() command.World {
	return command.World{
		In: os.Stdin, Out: os.Stdout, Err: os.Stderr,
		Terminal: isatty.IsTerminal(os.Stdin.Fd()) && isatty.IsTerminal(os.Stdout.Fd()),
		Version:  version(),
		Now:      time.Now, Place: time.Local,
		OpenBook: openBook, OpenScratchBook: openScratchBook,
		Screen:    showScreen,
		ReadFile:  func(name string) (io.ReadCloser, error) { return os.Open(name) },
		WriteFile: writeFile,
		Demo:      func() io.Reader { return demo.Records(time.Now()) },
	}
}

// version is the module's version, as the go command wrote it into the program.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok || info.Main.Version == "" {
		return "(built without a version)"
	}
	return info.Main.Version
}

// bookPath is the book's file: as asked for, by the environment, or in the user's data directory.
func bookPath(asked string) (string, error) {
	if asked != "" {
		return asked, nil
	}
	if path := os.Getenv("BENDBOOK"); path != "" {
		return path, nil
	}
	if xdg.DataHome == "" {
		return "", errors.New("the user's data directory is not known; name the book with --book")
	}
	return filepath.Join(xdg.DataHome, "bendbook", "bows.book"), nil
}

func openBook(asked string, readOnly bool) (session.Book, func() error, error) {
	path, err := bookPath(asked)
	if err != nil {
		return nil, nil, err
	}
	book, err := storage.Open(path, storage.Options{ReadOnly: readOnly})
	switch {
	case errors.Is(err, fs.ErrNotExist) && readOnly:
		return nil, nil, fmt.Errorf("there is no book at %s yet; bendbook without a command begins one", path)
	case errors.Is(err, storage.ErrBusy):
		return nil, nil, fmt.Errorf("%w; bendbook --read-only shows it as it stands", err)
	case err != nil:
		return nil, nil, err
	}
	return book, book.Close, nil
}

// openScratchBook makes a book in a folder of its own, which closing removes.
func openScratchBook() (session.Book, func() error, error) {
	folder, err := os.MkdirTemp("", "bendbook-demo-")
	if err != nil {
		return nil, nil, fmt.Errorf("making a folder for the demo's book: %w", err)
	}
	book, err := storage.Open(filepath.Join(folder, "demo.book"), storage.Options{})
	if err != nil {
		return nil, nil, errors.Join(err, os.RemoveAll(folder))
	}
	return book, func() error { return errors.Join(book.Close(), os.RemoveAll(folder)) }, nil
}

// showScreen shows the shop until the maker leaves, the terminal is hung up or the machine goes down.
func showScreen(shop *session.Shop) error {
	signals := make(chan os.Signal, 1)
	signal.Notify(signals, syscall.SIGHUP, syscall.SIGTERM)
	defer signal.Stop(signals)
	leave := make(chan struct{})
	go func() {
		if _, ok := <-signals; ok {
			close(leave)
		}
	}()
	return ui.Run(ui.Desk{
		Shop: shop, Styles: look.New(os.Stdout, look.Detect(os.Stdout), !speaksUTF8()), Place: time.Local, Save: saveFile,
	}, os.Stdin, os.Stdout, leave)
}

// speaksUTF8 says whether the locale's characters are UTF-8. Where no locale is set, as on Windows, they are.
func speaksUTF8() bool {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if locale := os.Getenv(name); locale != "" {
			locale = strings.ToLower(locale)
			return strings.Contains(locale, "utf-8") || strings.Contains(locale, "utf8")
		}
	}
	return true
}

// saveFile writes a new file in the folder where the program was started; where the name is taken, a number is added.
func saveFile(name string, data []byte) (string, error) {
	folder, err := os.Getwd()
	if err != nil {
		return "", err
	}
	ending := filepath.Ext(name)
	for n := 1; ; n++ {
		path := filepath.Join(folder, name)
		if n > 1 {
			path = filepath.Join(folder, fmt.Sprintf("%s-%d%s", strings.TrimSuffix(name, ending), n, ending))
		}
		err := writeFile(path, data, false)
		if !errors.Is(err, fs.ErrExist) {
			return path, err
		}
	}
}

// writeFile makes a file, or replaces one where force is set.
func writeFile(name string, data []byte, force bool) error {
	flags := os.O_WRONLY | os.O_CREATE | os.O_EXCL
	if force {
		flags = os.O_WRONLY | os.O_CREATE | os.O_TRUNC
	}
	file, err := os.OpenFile(name, flags, 0o666)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s is there already; --force replaces it (%w)", name, err)
	}
	if err != nil {
		return err
	}
	_, err = file.Write(data)
	return errors.Join(err, file.Close())
}
