package web

import (
	"context"
	"errors"
	"io"
	"log"
	"log/slog"
	"net"
	"net/http"
	"sync"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"basswright/internal/folder"
	"basswright/internal/study"
)

// Options are the settings of a server.
type Options struct {
	Folder   *folder.Folder
	Name     string // the folder's, to show
	Version  string
	Token    string            // asked for; "" on the loopback alone
	Examples map[string][]byte // by name
	Log      *slog.Logger      // nil: nothing is logged
}

// Bounds on what one server does at a time.
const (
	mostBody        = 2 << 20          // bytes of a request
	mostWork        = 4                // turns at once
	mostWorkOne     = 2                // of one study
	mostSlow        = 4                // turns that last, beside the others
	mostWaiting     = 400              // for a turn or at it: what 200 requests a second gather while a disk is slow
	mostWaitingOne  = 300              // of one study
	mostWaitingLong = 20               // of one study, for what is known to last
	mostStreams     = 64               // pages that are told of changes
	mostFlight      = 64 << 20         // bytes of answers that wait for their readers
	mostConns       = 640              // more than can wait and be told of changes
	workTime        = 20 * time.Second // of one turn
	slowTime        = time.Second      // after which a turn is a slow one
	slowMemory      = time.Minute      // how long a study is known to be slow
	waitTime        = 10 * time.Second // for a turn
	sendTime        = time.Minute      // from a request's head to the answer's end; streams have their own
)

// A Server serves the workbench.
type Server struct {
	opt     Options
	api     huma.API
	handler http.Handler
	memory  *study.Memory
	widths  widths
	held    held
	shelf   shelf
	queue   *queue
	flight  *flight
	hub     *hub
	sockets sync.WaitGroup // that are open
	garbage collector

	openTime time.Duration // how long a page waits for its study

	// evaluate is memory's; tests put a failing one in its place.
	evaluate func(context.Context, *study.Study, study.Options) (*study.Result, error)
}

// New makes a server; ctx ends what it does beside answering.
func New(ctx context.Context, opt Options) *Server {
	s := &Server{opt: opt, queue: newQueue(), flight: newFlight(), hub: newHub(), memory: study.NewMemory(), openTime: openTime}
	s.evaluate = s.memory.Evaluate
	mux := http.NewServeMux()
	s.api = newAPI(mux)
	s.register()
	mux.HandleFunc("GET "+eventsPath, s.events)
	mux.Handle("/", s.page())
	s.handler = s.recovered(s.flight.exchanged(mux))
	mux.HandleFunc("GET "+triesPath("{name}"), s.tries(s.handler))
	if opt.Folder != nil {
		go s.hub.follow(opt.Folder.Watch(ctx))
	}
	return s
}

func newAPI(mux *http.ServeMux) huma.API {
	cfg := huma.DefaultConfig("basswright workbench", "1")
	cfg.Info.Description = "Studies of one folder, evaluated. For the page that this server serves; it may change with it."
	cfg.DocsPath = ""    // its page would load scripts from elsewhere
	cfg.SchemasPath = "" // the page has no use for them
	cfg.CreateHooks = nil
	cfg.Formats = map[string]huma.Format{"application/json": asciiJSON, "json": asciiJSON}
	cfg.Transformers = append(cfg.Transformers, ownWords)
	return humago.New(mux, cfg)
}

// Description is the OpenAPI description of the interface, as YAML.
func Description() ([]byte, error) {
	s := &Server{api: newAPI(http.NewServeMux())}
	s.register()
	return s.api.OpenAPI().YAML()
}

// Serve answers on a listener until ctx ends.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	g := &guard{token: s.opt.Token, next: s.handler}
	if host, _, err := net.SplitHostPort(l.Addr().String()); err == nil && net.ParseIP(host).IsLoopback() {
		g.hosts = loopbackHosts(host, l.Addr())
	} else if s.opt.Token == "" {
		return errors.New("an address beyond this machine needs a token")
	}
	server := &http.Server{
		Handler:           http.MaxBytesHandler(g, mostBody),
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       30 * time.Second,
		WriteTimeout:      sendTime,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    64 << 10,
		BaseContext:       func(net.Listener) context.Context { return ctx },
		ConnState:         newConns().changed,
		ErrorLog:          log.New(io.Discard, "", 0), // what clients do wrong is theirs to see
	}
	stopped := make(chan struct{})
	go func() {
		defer close(stopped)
		<-ctx.Done()
		s.hub.close()
		grace, cancel := context.WithTimeout(context.WithoutCancel(ctx), 2*time.Second)
		defer cancel()
		if server.Shutdown(grace) != nil {
			server.Close()
		}
		s.ends(grace)
	}()
	err := server.Serve(l)
	if errors.Is(err, http.ErrServerClosed) {
		<-stopped
		return nil
	}
	return err
}
