package web

import (
	"context"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"time"
)

const (
	headerTime = 10 * time.Second // for the head of a request
	idleTime   = 2 * time.Minute  // between requests on one connection
	goodbye    = 5 * time.Second  // for requests in flight when the app stops
)

// Serve answers requests on l until ctx is done, then lets those in flight finish for a few seconds.
// Requests see ctx end too, so that streams of events stop by themselves. It closes l.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	srv := &http.Server{
		Handler:           s,
		ReadHeaderTimeout: headerTime,
		IdleTimeout:       idleTime,
		ErrorLog:          slog.NewLogLogger(s.App.Log.Handler(), slog.LevelWarn),
		BaseContext:       func(net.Listener) context.Context { return ctx },
	}
	watching, stop := context.WithCancel(ctx)
	defer stop()
	go s.App.Live.Run(watching)
	failed := make(chan error, 1)
	go func() { failed <- srv.Serve(l) }()
	select {
	case err := <-failed:
		return err
	case <-ctx.Done():
	}
	last, cancel := context.WithTimeout(context.WithoutCancel(ctx), goodbye)
	defer cancel()
	if err := srv.Shutdown(last); err != nil && !errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return srv.Close()
}
