package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"tuckring/internal/words"
)

// usageError is wrong usage (exit code 2): what is wrong, and the usage to show with it.
type usageError struct {
	reason error
	usage  string
}

func (u *usageError) Error() string { return u.reason.Error() }

// errHelp ends a command whose help was asked for and printed.
var errHelp = errors.New("help was printed")

// options are the flags of one command. Flags may stand before and after the other arguments.
type options struct {
	*flag.FlagSet
	name string
	args string // the arguments as the usage line shows them: "FIGURE"
	want int    // how many arguments there must be
}

// newOptions begins the flags of a command that takes the arguments named in args, parted by spaces.
func newOptions(name, args string) *options {
	o := &options{flag.NewFlagSet(name, flag.ContinueOnError), name, args, len(strings.Fields(args))}
	o.SetOutput(io.Discard)
	return o
}

// parse reads flags and arguments. It fails with errHelp after printing the help to out when asked
// for it, and with a usageError for an unknown flag, a bad value, or too many or few arguments.
func (o *options) parse(s *streams, args []string) ([]string, error) {
	flags, after := splitAtDashes(args)
	var rest []string
	for {
		err := o.Parse(flags)
		if errors.Is(err, flag.ErrHelp) {
			fmt.Fprintf(s.out, "%s\n", o.help())
			return nil, errHelp
		}
		if err != nil {
			return nil, o.wrong(words.T("cli.flag", "Reason", err.Error()))
		}
		if o.NArg() == 0 {
			break
		}
		rest, flags = append(rest, o.Arg(0)), o.Args()[1:]
	}
	rest = append(rest, after...)
	if len(rest) > o.want {
		return nil, o.wrong(words.T("cli.too_many", "Found", clip(rest[o.want])))
	}
	if len(rest) < o.want {
		return nil, o.wrong(words.T("cli.too_few", "Missing", strings.Fields(o.args)[len(rest)]))
	}
	return rest, nil
}

// splitAtDashes parts the arguments at "--", after which none is a flag.
func splitAtDashes(args []string) (before, after []string) {
	for i, a := range args {
		if a == "--" {
			return args[:i], args[i+1:]
		}
	}
	return args, nil
}

// needs is a usageError when a flag that must be given is not.
func (o *options) needs(flag, value string) error {
	if value == "" {
		return o.wrong(words.T("cli.needs", "Flag", "--"+flag))
	}
	return nil
}

// number reads a length in mm given to a flag, with a decimal point.
func (o *options) number(flag, value string) (float64, error) {
	v, err := strconv.ParseFloat(value, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, o.wrong(words.T("cli.number", "Flag", "--"+flag, "Found", clip(value)))
	}
	return v, nil
}

func (o *options) wrong(reason error) error { return &usageError{reason, o.usage()} }

// usage is the usage line and the flags.
func (o *options) usage() string {
	text := strings.TrimSpace("usage: tuckring "+o.name+" "+o.args) + " [flags]\n"
	o.VisitAll(func(f *flag.Flag) {
		kind, about := flag.UnquoteUsage(f)
		line := strings.TrimSpace("--" + f.Name + " " + kind)
		if f.DefValue != "" && f.DefValue != "false" {
			about += " [" + f.DefValue + "]"
		}
		text += fmt.Sprintf("  %-22s %s\n", line, about)
	})
	return text
}

func (o *options) help() string {
	return words.English.T("cli."+o.name) + "\n\n" + o.usage() + "\n" + words.English.T("cli."+o.name+".help")
}

// flagText is what a flag is for, from the catalogue: cli.flag.NAME. A word between back quotes is
// the name of its value.
func flagText(name string) string { return words.English.T("cli.flag." + name) }

// clip shortens what somebody typed so that a message stays readable.
func clip(s string) string {
	const most = 60
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return fmt.Sprintf("%q", s)
}
