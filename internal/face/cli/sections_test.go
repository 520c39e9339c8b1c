package cli

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"winnow/internal/shop"
)

// Every section of the grammar is read by some study or named as one that none reads yet; no list names a section that is none.
func TestEverySectionIsReadOrNamedAsNotRead(t *testing.T) {
	var keys []string
	typ := reflect.TypeFor[shop.Shop]()
	for i := range typ.NumField() {
		key, _, _ := strings.Cut(typ.Field(i).Tag.Get("key"), ",")
		if key != "" && key != "-" {
			keys = append(keys, key)
		}
	}
	for _, k := range keys {
		if slices.Contains(checkReads, k) == slices.Contains(laterReads, k) {
			t.Errorf("%s must stand in exactly one of what is read and what is not", k)
		}
	}
	for _, k := range slices.Concat(checkReads, laterReads) {
		if !slices.Contains(keys, k) {
			t.Errorf("%s is no section of the file", k)
		}
	}
}
