package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"syscall"

	"tuckring/internal/store"
	"tuckring/internal/words"
)

// backup writes a consistent copy of the database, also while the app runs.
func backup(s *streams, args []string) error {
	o := newOptions("backup", "")
	db := o.String("db", "", flagText("db"))
	out := o.String("out", "", flagText("out"))
	if _, err := o.parse(s, args); err != nil {
		return err
	}
	if err := o.needs("out", *out); err != nil {
		return err
	}
	path, err := databasePath(*db)
	if err != nil {
		return err
	}
	ctx, stop := untilInterrupted()
	defer stop()
	did, err := store.Backup(ctx, path, *out)
	if err != nil {
		return err
	}
	fmt.Fprintln(s.out, words.English.T("cli.backup.done", "File", *out))
	tellCopied(s, "cli.backup.kept", did)
	return nil
}

// untilInterrupted ends the copying when the program is told to stop, so that it can tidy up.
func untilInterrupted() (context.Context, context.CancelFunc) {
	return signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
}

// tellCopied says where the old file is kept, and which figures in the copy are damaged.
func tellCopied(s *streams, kept string, did store.Copied) {
	if did.Kept != "" {
		fmt.Fprintln(s.out, words.English.T(kept, "File", did.Kept))
	}
	if len(did.Damaged) > 0 {
		fmt.Fprintln(s.out, words.English.T("cli.copied.damaged", "Count", len(did.Damaged)))
	}
	for _, text := range did.Damaged {
		fmt.Fprintln(s.out, words.English.Say(text))
	}
}

// restore puts a backup in the place of the database, and keeps what stood there beside it.
func restore(s *streams, args []string) error {
	o := newOptions("restore", "")
	from := o.String("from", "", flagText("from"))
	db := o.String("db", "", flagText("db"))
	evenDamaged := o.Bool("even-damaged", false, flagText("even_damaged"))
	if _, err := o.parse(s, args); err != nil {
		return err
	}
	if err := o.needs("from", *from); err != nil {
		return err
	}
	path, err := databasePath(*db)
	if err != nil {
		return err
	}
	ctx, stop := untilInterrupted()
	defer stop()
	did, err := store.Restore(ctx, *from, path, *evenDamaged)
	if err != nil {
		for _, text := range did.Damaged {
			fmt.Fprintln(s.err, words.English.Say(text))
		}
		return err
	}
	fmt.Fprintln(s.out, words.English.T("cli.restore.done", "File", path))
	tellCopied(s, "cli.restore.kept", did)
	return nil
}
