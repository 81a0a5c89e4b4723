//go:build !race

package web

import (
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
)

// Several pictures chosen in a browser come in with one form; what could not
// be read is shown as it looks.
func TestBrowserPictures(t *testing.T) {
	var files []string
	for _, name := range []string{"code39.png", "covered.png"} {
		path, err := filepath.Abs(filepath.Join("..", "..", "testdata", "pictures", name))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, path)
	}
	b := browse(t)
	b.do(chromedp.Navigate(b.url+"/receive"), chromedp.SetUploadFiles(`input[type=file][multiple]`, files),
		chromedp.Click(`form[action="/receive"] button.main`), chromedp.WaitVisible(`figure img.look`))
	b.has("/delivery?added=1", "KB-39-52-11")
	b.has("/delivery?added=1", "looks like a barcode that could not be read")
	drawn, err := chromedp.Run(b.ctx, chromedp.Poll[bool](`document.images.length == 2 &&
		[...document.images].every(i => { i.scrollIntoView(); return i.complete && i.naturalWidth > 90 })`))
	if err != nil || !drawn {
		t.Errorf("the details are not drawn: %v, %v", drawn, err)
	}
}
