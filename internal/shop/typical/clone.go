package typical

import (
	"reflect"
	"sync"

	"winnow/internal/shop"
)

// cloned is a deep copy of a shop: nothing the copy's owner writes reaches the original. It walks the type rather than naming the
// fields, so a new section of the shop file is copied without anyone thinking of it.
func cloned(s *shop.Shop) *shop.Shop {
	out := new(shop.Shop)
	*out = *s
	own(reflect.ValueOf(out).Elem())
	return out
}

// own makes v's slices and pointers its own; v was copied flat before.
func own(v reflect.Value) {
	if !holds(v.Type()) {
		return
	}
	switch v.Kind() {
	case reflect.Slice:
		if v.IsNil() {
			return
		}
		fresh := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
		reflect.Copy(fresh, v)
		v.Set(fresh)
		if holds(v.Type().Elem()) {
			for i := range v.Len() {
				own(v.Index(i))
			}
		}
	case reflect.Pointer:
		if v.IsNil() {
			return
		}
		fresh := reflect.New(v.Type().Elem())
		fresh.Elem().Set(v.Elem())
		v.Set(fresh)
		own(fresh.Elem())
	case reflect.Struct:
		for _, i := range holders(v.Type()) {
			own(v.Field(i))
		}
	case reflect.Array:
		for i := range v.Len() {
			own(v.Index(i))
		}
	}
}

var (
	holdsOf   sync.Map // reflect.Type -> bool
	holdersOf sync.Map // reflect.Type -> []int
)

// holds reports whether a value of the type refers to anything a copy would share. Strings never change.
func holds(t reflect.Type) bool {
	switch t.Kind() {
	case reflect.Slice, reflect.Pointer:
		return true
	case reflect.Array:
		return holds(t.Elem())
	case reflect.Struct:
		if h, ok := holdsOf.Load(t); ok {
			return h.(bool)
		}
		h := false
		for i := range t.NumField() {
			h = h || holds(t.Field(i).Type)
		}
		holdsOf.Store(t, h)
		return h
	case reflect.Map, reflect.Chan, reflect.Func, reflect.Interface:
		panic("typical: a shop holds plain data; cannot copy " + t.String())
	}
	return false
}

// holders are the fields of a struct that hold something.
func holders(t reflect.Type) []int {
	if h, ok := holdersOf.Load(t); ok {
		return h.([]int)
	}
	var list []int
	for i := range t.NumField() {
		if holds(t.Field(i).Type) {
			list = append(list, i)
		}
	}
	holdersOf.Store(t, list)
	return list
}
