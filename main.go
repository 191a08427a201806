// Command bendbook is a bowyer's book: it keeps every pull at the tiller tree, shows both limbs pass by pass,
// and writes the summary of a session. This file connects the packages to the disk and the terminal.
package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"syscall"
	"time"

	"github.com/adrg/xdg"
	"github.com/mattn/go-isatty"

	"bendbook/model/date"
	"bendbook/model/finish"
	"bendbook/model/photo"
	"bendbook/model/plain"
	"bendbook/session/shop"
	"bendbook/storage"
	"bendbook/ui"
	_ "bendbook/ui/background" // before bubbletea asks the terminal
	"bendbook/ui/command"
	"bendbook/ui/look"
)

func main() {
	// Without the signal a closed pipe is an ordinary write error.
	signal.Ignore(syscall.SIGPIPE)
	os.Exit(command.Run(world(), os.Args[1:]))
}

func world() command.World {
	return command.World{
		In: os.Stdin, Out: os.Stdout, Err: os.Stderr,
		Terminal: isatty.IsTerminal(os.Stdin.Fd()) && isatty.IsTerminal(os.Stdout.Fd()) &&
			os.Getenv("TERM") != "dumb",
		Version: version(),
		Now:     time.Now, Place: time.Local, Dates: date.OfLocale(locale("LC_TIME")),
		Watch:    watch,
		OpenBook: openBook, OpenScratchBook: openScratchBook,
		Screen:   showScreen,
		ReadFile: readFile, WriteFile: writeFile, Folder: isFolder,
		Keeping: keeping(),
	}
}

// version is the module's version as the go command recorded it, and what the program was built for.
func version() string {
	module := "(no version)"
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		module = info.Main.Version // (devel) where it was built without version control
	}
	return fmt.Sprintf("%s, %s for %s/%s", module, runtime.Version(), runtime.GOOS, runtime.GOARCH)
}

// watch waits for the signals that stop a command. A second one ends the program at once. What nohup and the
// like have us ignore, we go on ignoring.
func watch() (context.Context, func()) {
	wanted := []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP}
	wanted = slices.DeleteFunc(wanted, signal.Ignored)
	if len(wanted) == 0 {
		return context.Background(), func() {}
	}
	ctx, stop := signal.NotifyContext(context.Background(), wanted...)
	context.AfterFunc(ctx, stop)
	return ctx, stop
}

// bookPath is the book's file: as asked for, by the environment, or in the user's data directory.
func bookPath(asked string) (string, error) {
	if asked != "" {
		return asked, nil
	}
	if path := os.Getenv("BENDBOOK"); path != "" {
		return path, nil
	}
	_, homeless := os.UserHomeDir()
	if xdg.DataHome == "" || homeless != nil && os.Getenv("XDG_DATA_HOME") == "" {
		return "", errors.New("the user's data directory is not known; name the book with --book, or by BENDBOOK")
	}
	return filepath.Join(xdg.DataHome, "bendbook", "bows.book"), nil
}

func openBook(asked string, readOnly bool) (shop.Book, func() error, error) {
	path, err := bookPath(asked)
	if err != nil {
		return nil, nil, err
	}
	book, err := storage.Open(path, storage.Options{ReadOnly: readOnly, Copies: true})
	switch {
	case errors.Is(err, fs.ErrNotExist) && readOnly:
		return nil, nil, command.NoBookError(path)
	case errors.Is(err, storage.ErrBusy):
		return nil, nil, fmt.Errorf("%w (bendbook --read-only)", err)
	case err != nil:
		return nil, nil, err
	}
	return book, func() error {
		err := book.Close()
		if fault := book.CopyFault(); fault != nil {
			// The book itself is safe, so no command fails because of it.
			fmt.Fprintln(os.Stderr, plain.Line(fault.Error()))
		}
		return err
	}, nil
}

// keeping connects the commands that keep a book safe to storage.
func keeping() command.Keeping {
	var o storage.Options
	type does = func(path string) (storage.Report, error)
	onBook := func(do does) func(string) (command.Account, error) {
		return func(asked string) (command.Account, error) {
			path, err := bookPath(asked)
			if err != nil {
				return nil, err
			}
			return do(path)
		}
	}
	return command.Keeping{
		Check: onBook(storage.Check), Copies: onBook(storage.Copies),
		Rescue: func(from, to string) (command.Account, error) { return storage.Rescue(from, to, o) },
		Backup: func(asked, to string, over bool) (command.Account, error) {
			return onBook(func(book string) (storage.Report, error) {
				return storage.Backup(book, to, over, o)
			})(asked)
		},
		Restore: func(asked, from string, asItWas bool) (command.Account, error) {
			return onBook(func(book string) (storage.Report, error) {
				return storage.Restore(book, from, asItWas, o)
			})(asked)
		},
	}
}

// openScratchBook makes a book in a folder of its own and removes it on closing.
func openScratchBook() (shop.Book, func() error, error) {
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

// showScreen shows the shop until the maker leaves or a signal comes. Since nothing stops what waits for the
// first, further signals are ignored.
func showScreen(s *shop.Shop) error {
	leave, _ := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	on := look.BackgroundOf(os.Getenv("TERM"), os.Getenv("COLORFGBG"))
	profile, ascii := look.Detect(os.Stdout), os.Getenv("BENDBOOK_ASCII") != "" || !speaksUTF8()
	return ui.Run(ui.Desk{
		Shop: s, Place: time.Local, Save: saveFile, Picture: openPicture, Replace: replaceWith,
		Dress: func(screen finish.Screen) look.Styles { return look.For(os.Stdout, profile, on, ascii, screen) },
	}, os.Stdin, os.Stdout, leave.Done())
}

// locale is the one that holds for a category such as LC_TIME; "" where none is set.
func locale(category string) string {
	return cmp.Or(os.Getenv("LC_ALL"), os.Getenv(category), os.Getenv("LANG"))
}

// speaksUTF8 says whether the locale's characters are UTF-8. Where no locale is set, as on Windows, they are.
func speaksUTF8() bool {
	name := strings.ToLower(locale("LC_CTYPE"))
	return name == "" || strings.Contains(name, "utf-8") || strings.Contains(name, "utf8")
}

// saveFile writes a new file in the folder where the program was started. A name that is taken gets a number.
func saveFile(name string, data []byte) (string, error) {
	path, err := filepath.Abs(name)
	if err != nil {
		return "", err
	}
	ending := filepath.Ext(path)
	stem := strings.TrimSuffix(path, ending)
	for n := 2; ; n++ {
		if err := writeFile(path, command.Over{}, all(data)); !errors.Is(err, fs.ErrExist) {
			return path, err
		}
		path = fmt.Sprintf("%s-%d%s", stem, n, ending)
	}
}

// openPicture reads a picture in a folder, or the newest one there where no name is given.
func openPicture(folder, name string) (data []byte, path string, err error) {
	path = name
	if !filepath.IsAbs(name) {
		path = filepath.Join(folder, name)
	}
	if name == "" {
		if path, err = newestPicture(folder); err != nil {
			return nil, "", err
		}
	}
	file, err := readFile(path)
	if err != nil {
		return nil, path, err
	}
	data, err = io.ReadAll(io.LimitReader(file, photo.MostBytes))
	return data, path, errors.Join(err, file.Close())
}

// newestPicture is the picture of a folder that was changed last, but none that shows how one was read.
func newestPicture(folder string) (path string, err error) {
	all, err := os.ReadDir(folder)
	if err != nil {
		return "", err
	}
	var latest time.Time
	for _, entry := range all {
		name := strings.ToLower(entry.Name())
		isPicture := slices.Contains([]string{".jpg", ".jpeg", ".png", ".heic"}, filepath.Ext(name))
		info, err := entry.Info()
		if err == nil && isPicture && !strings.HasSuffix(name, ".read.png") && info.ModTime().After(latest) {
			path, latest = filepath.Join(folder, entry.Name()), info.ModTime()
		}
	}
	if path == "" {
		return "", fmt.Errorf("there is none in %s", folder)
	}
	return path, nil
}

// replaceWith writes a file over another.
func replaceWith(path string, data []byte) error {
	return writeFile(path, command.Over{Force: true}, all(data))
}

// all writes data whole.
func all(data []byte) func(io.Writer) error {
	return func(w io.Writer) error { _, err := w.Write(data); return err }
}

// readFile opens a file to read, but no folder.
func readFile(name string) (io.ReadCloser, error) {
	if isFolder(name) {
		return nil, errors.New("it is a folder")
	}
	return os.Open(name)
}

// isFolder says whether there is a folder of that name.
func isFolder(name string) bool {
	info, err := os.Stat(name)
	return err == nil && info.IsDir()
}

// writeFile makes a file of what write writes. Where that fails, a new file is removed and an old one stays.
func writeFile(name string, over command.Over, write func(io.Writer) error) error {
	file, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if errors.Is(err, fs.ErrExist) && over.Force {
		return replaceFile(name, over.Book, write)
	}
	if err != nil {
		return err
	}
	if err := errors.Join(write(file), file.Close()); err != nil {
		return errors.Join(err, os.Remove(name))
	}
	return nil
}

// replaceFile replaces a file by a whole new one; into what is no ordinary file it writes.
func replaceFile(name, book string, write func(io.Writer) error) error {
	name, err := filepath.EvalSymlinks(name) // replace the file, not a link to it
	if err != nil {
		return err
	}
	info, err := os.Stat(name)
	if err != nil {
		return err
	}
	if path, err := bookPath(book); err == nil {
		if kept, err := os.Stat(path); err == nil && os.SameFile(info, kept) {
			return errors.New("it is the book itself; choose another name")
		}
	}
	if !info.Mode().IsRegular() {
		file, err := os.OpenFile(name, os.O_WRONLY, 0)
		if err != nil {
			return err
		}
		return errors.Join(write(file), file.Close())
	}
	file, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+"-*")
	if err != nil {
		return err
	}
	err = errors.Join(file.Chmod(info.Mode().Perm()), write(file), file.Close())
	if err == nil {
		err = os.Rename(file.Name(), name)
	}
	if err != nil {
		return errors.Join(err, os.Remove(file.Name()))
	}
	return nil
}
