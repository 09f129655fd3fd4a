package main

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net"
	"net/url"
	"os"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"basswright/examples"
	"basswright/internal/folder"
	"basswright/internal/web"
)

// service is the verb serve with its flags.
type service struct {
	app   *app
	addr  string
	token string
	ask   bool // for it on this machine too
}

func (a *app) serve() *cobra.Command {
	v := &service{app: a}
	cmd := &cobra.Command{
		Use:   "serve [FOLDER]",
		Short: "The workbench: a page to design on",
		Long: `Serve the workbench on the studies of a folder (without one, the folder in which
it is called) and print its address, to be opened in a browser on this machine.

A study stays its YAML file: what is changed on the page is written into the
file with its comments and its order, and what a text editor changes shows on
the page at once. A history beside the files, in the hidden folder .basswright,
is what undo goes back over, also after a restart.

The server listens on this machine alone, and answers whoever uses it, also who
may not read the files: on a machine of several people, use --private, and it
asks for a token. With --listen it can be reached from others, and then always
does: whoever knows the address with the token can read and change the studies of
the folder, and nothing else. The token is made once and kept in .basswright, for
you alone to read, so that the address stays the same. The connection is not
encrypted: use it only in a network that you trust.

It runs until it is interrupted (Ctrl-C, or SIGTERM); then what is being saved is
finished, and the exit code is 0.`,
		Example: `  basswright serve
  basswright serve studies
  basswright serve studies --listen 192.168.1.20:8460`,
		Args: atMostOne("folder"),
		RunE: v.run,
	}
	f := cmd.Flags()
	f.StringVar(&v.addr, "listen", "127.0.0.1:8460", "address and port; port 0 takes any that is free")
	f.StringVar(&v.token, "token", "", "the token to ask for (default: one that is made once and kept)")
	f.BoolVar(&v.ask, "private", false, "ask for the token on this machine too")
	return cmd
}

func (v *service) run(cmd *cobra.Command, args []string) error {
	path := "."
	if len(args) == 1 {
		path = args[0]
	}
	host, port, err := net.SplitHostPort(v.addr)
	if n, bad := strconv.ParseUint(port, 10, 16); err != nil || bad != nil || n > 65535 {
		return usagef("--listen takes an address and a port, such as 127.0.0.1:8460, not %q", v.addr)
	}
	if v.token != "" && len(v.token) < 16 {
		return usagef("a token of %d signs can be guessed; use 16 or more, or leave --token out", len(v.token))
	}
	if err := isFolder(path); err != nil {
		return err
	}
	dir, err := folder.Open(path, folder.Options{})
	if err != nil {
		return err
	}
	defer dir.Close()
	if ip := net.ParseIP(host); v.token == "" && (v.ask || host != "localhost" && (ip == nil || !ip.IsLoopback())) {
		if v.token, err = dir.Secret(); err != nil {
			v.token = rand.Text()
			fmt.Fprintf(v.app.err, "The token holds until the server ends: %v\n", err)
		}
	}
	web.LimitMemory()
	l, err := net.Listen("tcp", v.addr)
	if err != nil {
		return fmt.Errorf("cannot listen on %s: %s; choose another with --listen, such as --listen 127.0.0.1:0", v.addr, unheard(err))
	}
	name, err := filepath.Abs(path)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(cmd.Context(), syscall.SIGTERM)
	defer stop()
	s := web.New(ctx, web.Options{
		Folder: dir, Name: filepath.Base(name), Version: version, Token: v.token, Examples: examples.All(),
		Log: slog.New(slog.NewTextHandler(v.app.err, nil)),
	})
	v.announce(l.Addr(), path)
	return s.Serve(ctx, l)
}

// isFolder says why there is no folder of that name.
func isFolder(path string) error {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return usagef("there is no folder %s; make it, or name another", path)
	case err == nil && !info.IsDir():
		return usagef("%s is a file; name the folder that it is in, such as %s", path, filepath.Dir(path))
	}
	return nil // what else is wrong is told by who opens it
}

// unheard is why an address cannot be listened on, without the words of the system's calls.
func unheard(err error) string {
	var (
		call *os.SyscallError
		name *net.DNSError
	)
	switch {
	case errors.Is(err, syscall.EADDRINUSE):
		return "another program listens there already"
	case errors.Is(err, syscall.EADDRNOTAVAIL):
		return "this machine has no such address"
	case errors.Is(err, fs.ErrPermission):
		return "the system does not allow it, as for ports below 1024"
	case errors.As(err, &name):
		return "no machine of that name is known"
	case errors.As(err, &call):
		return call.Err.Error()
	}
	return err.Error()
}

// announce prints the address, alone on standard output so that scripts can
// read it.
func (v *service) announce(addr net.Addr, path string) {
	u := url.URL{Scheme: "http", Host: reachable(addr), Path: "/"}
	if v.token != "" {
		u.RawQuery = url.Values{"token": {v.token}}.Encode()
	}
	fmt.Fprintf(v.app.err, "The workbench on the studies of %s is open at the address below. Interrupt it (Ctrl-C) to end it.\n", strings.TrimSuffix(path, string(os.PathSeparator)))
	if v.token != "" {
		fmt.Fprintln(v.app.err, "The connection is not encrypted, and who knows the address can change the studies: use it only in a network that you trust.")
	}
	fmt.Fprintln(v.app.out, u.String())
}

// reachable is an address that a browser can open. A server that listens on all
// addresses has none itself: then it is this machine's first in a network.
func reachable(addr net.Addr) string {
	tcp, ok := addr.(*net.TCPAddr)
	if !ok || !tcp.IP.IsUnspecified() {
		return addr.String()
	}
	port := strconv.Itoa(tcp.Port)
	list, _ := net.InterfaceAddrs()
	for _, a := range list {
		if n, ok := a.(*net.IPNet); ok && n.IP.IsGlobalUnicast() {
			return net.JoinHostPort(n.IP.String(), port)
		}
	}
	return net.JoinHostPort("localhost", port)
}
