package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"os"
	"os/signal"
	"path/filepath"
	"runtime"
	"syscall"

	"tuckring/internal/shelf"
	"tuckring/internal/store"
	"tuckring/internal/words"
	"tuckring/static"
	"tuckring/web"
	"tuckring/web/kernel"
)

// defaultListen is where the app listens unless told otherwise: only this machine reaches it.
const defaultListen = "127.0.0.1:8080"

// serve runs the web app until it is interrupted.
func serve(s *streams, args []string) (err error) {
	o := newOptions("serve", "")
	listen := o.String("listen", defaultListen, flagText("listen"))
	db := o.String("db", "", flagText("db"))
	lan := o.Bool("lan", false, flagText("lan"))
	if _, err := o.parse(s, args); err != nil {
		return err
	}
	if err := static.Built(); err != nil {
		return err
	}
	path, err := databasePath(*db)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	kept, err := store.Open(ctx, path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, kept.Close()) }()
	if kept.Fresh() {
		if err := stock(ctx, kept); err != nil {
			return err
		}
	}
	l, err := net.Listen("tcp", listenAddress(*listen, *lan))
	if err != nil {
		return words.T("cli.serve.listen", "Address", *listen, "Reason", err.Error())
	}
	app := web.New(web.Config{Store: kept, Listen: *listen, LAN: *lan, Log: slog.New(slog.NewTextHandler(s.err, nil))})
	greet(s, l.Addr(), path, *lan)
	return app.Serve(ctx, l)
}

// stock puts the demo figures on a new shelf, the first of them to stand first.
func stock(ctx context.Context, kept *store.Store) error {
	demo := shelf.Demo()
	for i := len(demo) - 1; i >= 0; i-- {
		if _, err := kept.Create(ctx, demo[i].Figure); err != nil {
			return err
		}
	}
	return nil
}

// greet says where the app is and where the figures are kept.
func greet(s *streams, addr net.Addr, db string, lan bool) {
	port := addr.(*net.TCPAddr).Port
	host := addr.(*net.TCPAddr).IP
	if host.IsUnspecified() {
		host = net.IPv4(127, 0, 0, 1)
	}
	fmt.Fprintln(s.out, words.English.T("cli.serve.ready", "Address", httpAddress(host, port)))
	fmt.Fprintln(s.out, words.English.T("cli.serve.kept", "File", db))
	if lan {
		for _, ip := range kernel.LANAddresses() {
			fmt.Fprintln(s.out, words.English.T("cli.serve.lan", "Address", httpAddress(ip, port)))
		}
	}
	_ = s.out.Flush() // a closed standard output is no reason to stop serving
}

func httpAddress(ip net.IP, port int) string {
	return "http://" + net.JoinHostPort(ip.String(), fmt.Sprint(port)) + "/"
}

// listenAddress opens a loopback address to the whole network when lan is asked for.
func listenAddress(listen string, lan bool) string {
	host, port, err := net.SplitHostPort(listen)
	if err != nil || !lan {
		return listen
	}
	if ip := net.ParseIP(host); host == "localhost" || (ip != nil && ip.IsLoopback()) {
		return net.JoinHostPort("", port)
	}
	return listen
}

// databasePath is the file the figures are kept in: the given one, or tuckring.db in a folder of our
// own in the user's data folder, which is made when missing. Like this the shelf is the same from
// whichever folder the app is started.
func databasePath(given string) (string, error) {
	if given != "" {
		return given, nil
	}
	dir, err := dataFolder()
	if err != nil {
		return "", words.T("cli.serve.folder", "Reason", err.Error())
	}
	dir = filepath.Join(dir, "tuckring")
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", words.T("cli.serve.folder", "Reason", err.Error())
	}
	return filepath.Join(dir, "tuckring.db"), nil
}

// dataFolder is where programs keep a user's data (XDG Base Directory Specification; elsewhere the
// system's own place).
func dataFolder() (string, error) {
	if dir := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return dir, nil
	}
	if runtime.GOOS == "darwin" || runtime.GOOS == "windows" {
		return os.UserConfigDir()
	}
	home, err := os.UserHomeDir()
	return filepath.Join(home, ".local", "share"), err
}
