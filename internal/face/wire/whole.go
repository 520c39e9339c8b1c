package wire

import "reflect"

// whole gives an answer empty lists for those that are nil, at every depth: whoever reads a list of the wire never meets null.
// What it changes it copies first: a study's answer is shared by all who ask.
func whole[T any](v T) T {
	fill(reflect.ValueOf(&v).Elem())
	return v
}

func fill(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() && v.CanSet() {
			own := reflect.New(v.Type().Elem())
			own.Elem().Set(v.Elem())
			fill(own.Elem())
			v.Set(own)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				fill(v.Field(i))
			}
		}
	case reflect.Slice:
		if !v.CanSet() {
			return
		}
		own := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
		reflect.Copy(own, v)
		v.Set(own)
		for i := range v.Len() {
			fill(v.Index(i))
		}
	}
}
