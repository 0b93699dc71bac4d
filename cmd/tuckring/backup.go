package main

import (
	"context"
	"fmt"

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
	if err := store.Backup(context.Background(), path, *out); err != nil {
		return err
	}
	fmt.Fprintln(s.out, words.English.T("cli.backup.done", "File", *out))
	return nil
}

// restore puts a backup in the place of the database, and keeps what stood there beside it.
func restore(s *streams, args []string) error {
	o := newOptions("restore", "")
	from := o.String("from", "", flagText("from"))
	db := o.String("db", "", flagText("db"))
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
	kept, err := store.Restore(context.Background(), *from, path)
	if err != nil {
		return err
	}
	fmt.Fprintln(s.out, words.English.T("cli.restore.done", "File", path))
	if kept != "" {
		fmt.Fprintln(s.out, words.English.T("cli.restore.kept", "File", kept))
	}
	return nil
}
