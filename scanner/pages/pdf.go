package pages

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"io"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"time"

	"forkstock/internal/fault"
)

// PDF files are drawn by poppler: pdfinfo says how many pages there are and
// how large, then one pdftoppm writes them as grey PGM into a pipe, a page
// each time the one before has been taken. The file reaches both on standard
// input, from a temporary file whose name is gone before they start, so that
// nothing is left behind however forkstock ends.

const (
	dpi      = 200
	pageTime = 30 * time.Second // that a page may take to draw
)

// errSlow ends a program that takes longer than pageTime.
var errSlow = errors.New("drawing takes too long")

// isPDF looks for the header where readers look for it (ISO 32000-1, annex H).
func isPDF(data []byte) bool { return bytes.Contains(data[:min(len(data), 1024)], []byte("%PDF-")) }

// eachPDF draws the pages of a PDF file.
func eachPDF(ctx context.Context, data []byte, hand func(Page) error) error {
	if !bytes.Contains(data[max(0, len(data)-1024):], []byte("%%EOF")) {
		return invalid("scanner.cut_off")
	}
	for _, program := range []string{"pdfinfo", "pdftoppm"} {
		if _, err := exec.LookPath(program); err != nil {
			return fault.New(fault.NotFound, "scanner.no_pdftoppm", program).WithHint("scanner.no_pdftoppm_hint").WithCause(err)
		}
	}
	file, err := nameless(data)
	if err != nil {
		return fault.New(fault.Full, "scanner.no_temp").WithHint("scanner.no_temp_hint").WithCause(err)
	}
	defer file.Close()
	pages, err := pdfPages(ctx, file)
	if err != nil {
		return err
	}
	return drawPages(ctx, file, pages, hand)
}

// nameless gives a file that only we can reach.
func nameless(data []byte) (*os.File, error) {
	f, err := os.CreateTemp("", "forkstock-*.pdf")
	if err != nil {
		return nil, err
	}
	_, err = f.Write(data)
	if err = errors.Join(err, os.Remove(f.Name())); err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return f, nil
}

// poppler makes a command that reads file, with little memory and no
// surroundings but where programs and fonts are.
func poppler(ctx context.Context, file *os.File, program string, args ...string) (*exec.Cmd, *bytes.Buffer, error) {
	if _, err := file.Seek(0, io.SeekStart); err != nil {
		return nil, nil, err
	}
	cmd := exec.CommandContext(ctx, program, append(args, "-")...)
	complaints := new(bytes.Buffer)
	cmd.Stdin, cmd.Stderr = file, &bounded{complaints, 64 << 10}
	cmd.Env = []string{"PATH=" + os.Getenv("PATH"), "HOME=" + os.Getenv("HOME"), "LC_ALL=C"}
	cmd.WaitDelay = time.Second
	return cmd, complaints, nil
}

// bounded takes the first bytes that are written and forgets the others.
type bounded struct {
	to   *bytes.Buffer
	left int
}

// Write takes what there is room for, and never fails.
func (b *bounded) Write(p []byte) (int, error) {
	n, _ := b.to.Write(p[:min(len(p), b.left)])
	b.left -= n
	return len(p), nil
}

// pdfPages asks for the number of the pages and the size of those that are
// drawn, and refuses what cannot be.
func pdfPages(ctx context.Context, file *os.File) (n int, err error) {
	limited, cancel := context.WithTimeoutCause(ctx, pageTime, errSlow)
	defer cancel()
	cmd, complaints, err := poppler(limited, file, "pdfinfo", "-f", "1", "-l", strconv.Itoa(MaxPages))
	if err != nil {
		return 0, fault.Of(err)
	}
	var out bytes.Buffer
	cmd.Stdout = &bounded{&out, 64 << 10}
	if err := run(cmd); err != nil {
		return 0, pdfFault(ctx, limited, complaints, err)
	}
	for line := range strings.Lines(out.String()) {
		name, value, _ := strings.Cut(line, ":")
		switch field := strings.Fields(name); {
		case name == "Pages":
			n, _ = strconv.Atoi(strings.TrimSpace(value))
		case len(field) == 3 && field[0] == "Page" && field[2] == "size":
			var w, h float64
			if _, err := fmt.Sscanf(strings.TrimSpace(value), "%f x %f pts", &w, &h); err != nil {
				continue
			}
			const points = 72 // in an inch
			if w, h := w*dpi/points, h*dpi/points; w*h > MaxPixels {
				return 0, fault.New(fault.Invalid, "scanner.too_many_pixels", int(w), int(h), MaxPixels).WithHint("scanner.pdf_size_hint")
			}
		}
	}
	if n < 1 {
		return 0, invalid("scanner.pdf_empty")
	}
	return n, nil
}

// run runs a command with the limits of a drawing program.
func run(cmd *exec.Cmd) error {
	if err := cmd.Start(); err != nil {
		return err
	}
	limit(cmd.Process.Pid)
	return cmd.Wait()
}

// drawPages hands on the pages that pdftoppm draws, of so many in the file.
func drawPages(ctx context.Context, file *os.File, of int, hand func(Page) error) error {
	pages := min(of, MaxPages)
	limited, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	cmd, complaints, err := poppler(limited, file, "pdftoppm", "-r", strconv.Itoa(dpi), "-gray", "-cropbox", "-l", strconv.Itoa(pages))
	if err != nil {
		return fault.Of(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		return fault.Of(err)
	}
	if err := cmd.Start(); err != nil {
		return fault.Of(err)
	}
	limit(cmd.Process.Pid)
	in := bufio.NewReader(out)
	for i := range pages {
		late := time.AfterFunc(pageTime, func() { cancel(errSlow) })
		pic, err := readPGM(in)
		late.Stop()
		if err != nil {
			cancel(nil)
			err = errors.Join(err, cmd.Wait())
			return onPage(i+1, pages, pdfFault(ctx, limited, complaints, err))
		}
		if err := hand(Page{Number: i + 1, Of: of, Image: pic, Turn: 1}); err != nil {
			cancel(nil)
			_ = cmd.Wait()
			return err
		}
	}
	if err := cmd.Wait(); err != nil {
		return pdfFault(ctx, limited, complaints, err)
	}
	return nil
}

// readPGM reads a grey picture as pdftoppm writes it: P5, width, height, 255,
// each on its own or beside others, one white space, then the bytes.
func readPGM(in *bufio.Reader) (*image.Gray, error) {
	var magic string
	var w, h, most int
	if _, err := fmt.Fscan(in, &magic, &w, &h, &most); err != nil {
		return nil, err
	}
	if _, err := in.ReadByte(); err != nil {
		return nil, err
	}
	if magic != "P5" || most != 255 || w < 1 || h < 1 || w > MaxPixels/h {
		return nil, fmt.Errorf("not a page: %s %d x %d, %d", magic, w, h, most)
	}
	pic := image.NewGray(image.Rect(0, 0, w, h))
	_, err := io.ReadFull(in, pic.Pix)
	return pic, err
}

// pdfFault says why poppler gave up.
func pdfFault(ctx, limited context.Context, complaints *bytes.Buffer, err error) error {
	why := firstLine(complaints.String())
	switch {
	case ctx.Err() != nil:
		return stopped(ctx)
	case context.Cause(limited) == errSlow:
		return fault.New(fault.Invalid, "scanner.pdf_slow", int(pageTime/time.Second)).WithHint("scanner.pdf_hint").WithCause(err)
	case strings.Contains(why, "ncorrect password"):
		return fault.New(fault.Invalid, "scanner.pdf_locked").WithHint("scanner.pdf_locked_hint").WithCause(err)
	}
	return fault.New(fault.Invalid, "scanner.pdf_broken", why).WithHint("scanner.pdf_hint").WithCause(err)
}

// firstLine gives the first line of what poppler complained about, without
// its label.
func firstLine(text string) string {
	line, _, _ := strings.Cut(strings.TrimSpace(text), "\n")
	for _, label := range []string{"Command Line Error: ", "Syntax Error: ", "Syntax Warning: ", "Error: "} {
		line = strings.TrimPrefix(line, label)
	}
	if r := []rune(line); len(r) > 100 {
		line = string(r[:100])
	}
	return line
}
