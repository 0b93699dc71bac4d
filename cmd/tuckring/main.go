// Command tuckring plans figures built ring upon ring from folded paper units: it serves the web
// app and does the same work from the command line. Here are only flags, wiring and exit codes;
// what is calculated and said lives in internal.
//
// Exit codes: 0 done; 1 the work failed, with the reason on standard error; 2 wrong usage.
package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// command is one word after the program's name. Its summary and help stand in the catalogue as
// cli.NAME and cli.NAME.help.
type command struct {
	name string
	run  func(s *streams, args []string) error
}

// commands are listed in the order of the help. A new command is a line here, a file of its name,
// and its two sentences in the catalogue.
var commands = []command{
	{"serve", serve},
	{"check", check},
	{"report", reportFigure},
	{"rows", rows},
	{"cut", cut},
	{"draw", drawFigure},
	{"picture", fromPicture},
	{"solid", fromSolid},
	{"tutorial", writeTutorial},
	{"publish", publish},
	{"backup", backup},
	{"restore", restore},
}

// streams are where a command reads and writes. What goes to out is written when the command ends,
// unless it flushes before.
type streams struct {
	in   io.Reader
	out  *bufio.Writer
	err  io.Writer
	read []os.FileInfo // the files that were opened to be read
}

func main() {
	os.Exit(run(os.Stdin, os.Stdout, os.Stderr, os.Args[1:]))
}

// run does the command that args name and gives the exit code.
func run(in io.Reader, out, errs io.Writer, args []string) int {
	s := &streams{in: in, out: bufio.NewWriter(out), err: errs}
	err := dispatch(s, args)
	if flush := s.out.Flush(); flush != nil {
		err = words.T("cli.write", "Reason", flush.Error())
	}
	var usage *usageError
	switch {
	case err == nil || err == errHelp:
		return 0
	case errors.As(err, &usage):
		fmt.Fprintf(errs, "tuckring: %s\n\n%s", usage.reason, usage.usage)
		return 2
	default:
		fmt.Fprintf(errs, "tuckring: %s\n", say(err))
		return 1
	}
}

func dispatch(s *streams, args []string) error {
	if len(args) == 0 {
		return &usageError{words.T("cli.no_command"), overview()}
	}
	switch args[0] {
	case "help", "-h", "-help", "--help":
		return help(s, args[1:])
	}
	for _, c := range commands {
		if c.name == args[0] {
			return c.run(s, args[1:])
		}
	}
	return &usageError{words.T("cli.unknown_command", "Name", clip(args[0])), overview()}
}

// help prints the overview, or the help of the command that args name.
func help(s *streams, args []string) error {
	if len(args) == 0 {
		_, err := s.out.WriteString(overview())
		return err
	}
	for _, c := range commands {
		if c.name == args[0] && len(args) == 1 {
			return c.run(s, []string{"--help"})
		}
	}
	return &usageError{words.T("cli.unknown_command", "Name", clip(args[0])), overview()}
}

// overview lists the commands.
func overview() string {
	text := words.English.T("cli.usage") + "\n\n"
	for _, c := range commands {
		text += fmt.Sprintf("  %-9s %s\n", c.name, words.English.T("cli."+c.name))
	}
	return text + "\n" + words.English.T("cli.more") + "\n"
}

// say puts an error into words: all faults of a document one a line, after what they mean.
func say(err error) string {
	var faults figure.Faults
	if errors.As(err, &faults) {
		return words.English.T("cli.refused", "Count", faults.Count()) + "\n" + faults.Error()
	}
	return err.Error()
}
