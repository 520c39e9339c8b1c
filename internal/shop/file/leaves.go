package file

import (
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"winnow/internal/shop"
	"winnow/internal/unit"
)

// leaf reads one value that has no keys of its own.
type leaf struct {
	what    string // completes "... belongs here"
	example string // completes "Write ..."
	keep    bool   // what was read may be kept with the node: nothing but the text decides it
	read    func(d *decoder, n *node, f *field, dst reflect.Value)
	// quantity reads a text as this leaf's quantity; nil if it is none.
	quantity func(text string) (span, error)
}

// span is a quantity in SI, whatever it measures.
type span struct{ best, low, high float64 }

var leafOf = map[reflect.Type]*leaf{}

func init() {
	amount[unit.Metre]("a length", "12 ft")
	amount[unit.M2]("an area", "40 in2")
	amount[unit.M3]("a volume", "30 gal")
	amount[unit.M3PerSec]("an airflow", "350 cfm")
	amount[unit.MPerSec]("an air speed", "4000 fpm")
	amount[unit.Pascal]("a pressure", "1.8 inH2O")
	amount[unit.Watt]("a power", "1 1/2 hp")
	amount[unit.Volt]("a voltage", "120 V")
	amount[unit.Ampere]("a current", "15 A")
	amount[unit.Kelvin]("a temperature", "45 to 85 °F")
	amount[unit.Second]("a time", "8 s")
	amount[unit.PerSec]("a rate", "2.6 /h")
	amount[unit.Radian]("an angle", "90°")
	amount[unit.Fraction]("a share", "85 %")
	amount[unit.Number]("a bare number", "1.5")
	amount[unit.Decibel]("a sound level", "82 dBA")
	amount[unit.Wire]("a wire size", "12 AWG")
	leafOf[reflect.TypeFor[string]()] = &leaf{what: "a word or a text", example: "it in words", read: (*decoder).text}
	leafOf[reflect.TypeFor[shop.Path]()] = &leaf{what: "a path", example: "keys joined by /, such as machines/planer/port/size", read: (*decoder).path}
	leafOf[reflect.TypeFor[int]()] = &leaf{what: "a whole number", example: "1", read: (*decoder).count, keep: true}
	leafOf[reflect.TypeFor[bool]()] = &leaf{what: "true or false", example: "true", read: (*decoder).flag, keep: true}
	leafOf[reflect.TypeFor[unit.Money]()] = &leaf{what: "a sum of money", example: "95 USD", read: readText(unit.ParseMoney), keep: true}
	leafOf[reflect.TypeFor[unit.Date]()] = &leaf{what: "a day", example: "2026-03-01", read: readText(unit.ParseDate), keep: true}
	leafOf[reflect.TypeFor[unit.LossAt]()] = &leaf{what: "a loss", example: "1.8 inH2O at 800 cfm", read: readText(unit.ParseLossAt), keep: true}
	leafOf[reflect.TypeFor[unit.Hours]()] = &leaf{what: "a part of the day", example: "9 pm to 7 am", read: readText(unit.ParseHours), keep: true}
	leafOf[reflect.TypeFor[unit.MoneyPer[unit.Joule]]()] = &leaf{what: "a price of energy", example: "0.17 USD/kWh", read: readText(unit.ParseMoneyPer[unit.Joule]), keep: true}
	leafOf[reflect.TypeFor[shop.Budget]()] = &leaf{what: "a sum of money, or one every so often", example: "300 USD per month", read: (*decoder).budget, keep: true}
	leafOf[reflect.TypeFor[shop.Point]()] = &leaf{what: "a point", example: "[16 ft, 8 ft]", read: (*decoder).point, keep: true}
	leafOf[reflect.TypeFor[shop.FanPoint]()] = &leaf{what: "a point of the curve", example: "[400 cfm, 8.9 inH2O]", read: (*decoder).fanPoint, keep: true}
	leafOf[reflect.TypeFor[shop.Footprint]()] = &leaf{what: "a footprint", example: "38 in x 22 in", read: (*decoder).footprint, keep: true}
	leafOf[reflect.TypeFor[shop.From]()] = &leaf{what: "where the run's air comes from", example: "MACHINE, MACHINE/PORT, [several of them], cap or split NAME", read: (*decoder).from}
	leafOf[reflect.TypeFor[shop.Level]()] = &leaf{what: "a current or a pressure", example: "1.5 A", read: (*decoder).level, keep: true}
	leafOf[reflect.TypeFor[*shop.Value]()] = &leaf{what: "a value", example: "a value", read: (*decoder).anything}
}

// amount makes quantities of type T readable.
func amount[T unit.Real](what, example string) {
	l := &leaf{what: what, example: example, keep: true}
	l.quantity = func(text string) (span, error) {
		a, err := unit.Parse[T](text)
		return span{float64(a.Best), float64(a.Low), float64(a.High)}, err
	}
	l.read = func(d *decoder, n *node, f *field, dst reflect.Value) {
		if !d.scalar(n, f, l) {
			return
		}
		a, err := unit.Parse[T](n.text)
		if err != nil {
			d.unread(n, err, l)
			return
		}
		switch {
		case a.Basis == unit.Drawn && (f == nil || !f.drawn):
			d.fault(n, DrawnNotHere, "`drawn` is for the length or the angle of a piece, which the plan shows", "For example "+example+", or `unknown`.")
			return
		case a.Basis == unit.Absent && f != nil && f.what:
			d.fault(n, NoneNotHere, "`none` says there is none, and then there is nothing to write", "For example "+example+"; or remove the piece.")
			return
		case a.Basis == unit.Absent && f != nil && f.positive:
			d.fault(n, NoneNotHere, "`none` says there is none, and here something always is", "For example "+example+", or `unknown`.")
			return
		case a.Basis == unit.Given && f != nil && !d.within(n, span{float64(a.Best), float64(a.Low), float64(a.High)}, f, l):
			return
		}
		*dst.Addr().Interface().(*unit.Amount[T]) = a
	}
	leafOf[reflect.TypeFor[unit.Amount[T]]()] = l
}

// within checks the bounds of a key; l is the quantity read, which in a list is that of its items.
func (d *decoder) within(n *node, s span, f *field, l *leaf) bool {
	switch {
	case f.positive && (s.best <= 0 || s.low < 0):
		what := "`" + short(n.text) + "` reaches below zero"
		if s.best == 0 {
			what = "zero cannot be"
		} else if s.best < 0 {
			what = "`" + short(n.text) + "` is below zero"
		}
		d.fault(n, OutOfRange, what+", and "+l.what+" above zero belongs here", "For example "+l.example+", or `unknown`.")
	case !f.positive && !f.sign && s.low < 0:
		d.fault(n, OutOfRange, "`"+short(n.text)+"` goes below zero, and that cannot be here", "For example "+l.example+", or `unknown`.")
	case f.most != "" && s.high > f.limit(l)*(1+1e-9):
		d.fault(n, OutOfRange, "`"+short(n.text)+"` is more than "+f.most+", the most there can be here", "Write at most "+f.most+".")
	default:
		return true
	}
	return false
}

func (f *field) limit(l *leaf) float64 {
	s, err := l.quantity(f.most)
	if err != nil {
		panic("shop/file: bound " + f.most + " of `" + f.key + "`: " + err.Error())
	}
	return s.best
}

// scalar takes one value and refuses the words other readers take for something else. It answers whether there is
// anything to read.
func (d *decoder) scalar(n *node, f *field, l *leaf) bool {
	if n.form != scalar {
		d.fault(n, WrongShape, n.shown()+", where "+l.what+" belongs", n.sides(l))
		return false
	}
	return !n.null && !d.trap(n)
}

// sides guesses a footprint from a list of two lengths.
func (n *node) sides(l *leaf) string {
	if l == leafOf[reflect.TypeFor[shop.Footprint]()] && n.form == list && len(n.items) == 2 && n.items[0].form == scalar && n.items[1].form == scalar {
		return "Did you mean " + n.items[0].text + " x " + n.items[1].text + "?"
	}
	return forExample(l.example)
}

var clock = regexp.MustCompile(`^[-+]?[0-9][0-9_]*(:[0-5]?[0-9])+(\.[0-9_]*)?$`)

var trapWords = map[string]string{}

func init() {
	for _, w := range []string{"yes", "no", "on", "off", "y", "n", "null", "~"} {
		for _, spelling := range []string{w, strings.ToUpper(w), strings.ToUpper(w[:1]) + w[1:]} {
			trapWords[spelling] = w
		}
	}
}

// trap refuses YAML's old words for true, false and nothing, and clock times.
func (d *decoder) trap(n *node) bool {
	if !n.plain || n.text == "" {
		return false
	}
	if w := trapWords[n.text]; w != "" {
		cure := "Write " + map[string]string{
			"yes": "true", "y": "true", "on": "true", "no": "false or none", "n": "false or none", "off": "false", "null": "`unknown` or `none`", "~": "`unknown` or `none`",
		}[w] + "; if it is the text itself, put it in quotes."
		d.fault(n, YAMLWord, "many YAML readers take the word `"+n.text+"` for something else", cure)
		return true
	}
	if c := n.text[0]; (c >= '0' && c <= '9' || c == '-' || c == '+') && strings.IndexByte(n.text, ':') > 0 && clock.MatchString(n.text) {
		d.fault(n, ClockTime, "some YAML readers take `"+n.text+"` for a number", "Write a time of day as 9 pm, and a duration with its unit, as 90 s.")
		return true
	}
	return false
}

// readText reads a value whose text alone says it.
func readText[T any](parse func(string) (T, error)) func(*decoder, *node, *field, reflect.Value) {
	var l *leaf
	return func(d *decoder, n *node, f *field, dst reflect.Value) {
		if l == nil {
			l = leafOf[reflect.TypeFor[T]()]
		}
		if !d.scalar(n, f, l) || n.unsaid() {
			return
		}
		v, err := parse(n.text)
		if err != nil {
			d.unread(n, err, l)
			return
		}
		*dst.Addr().Interface().(*T) = v
	}
}

// unread says what is wrong with a written quantity, with the mark under the very word.
func (d *decoder) unread(n *node, err error, l *leaf) {
	var e *unit.ParseError
	if !errors.As(err, &e) {
		d.fault(n, BadQuantity, err.Error(), forExample(l.example))
		return
	}
	code := map[unit.Problem]*Code{
		unit.NoUnit: NoUnit, unit.UnknownUnit: UnknownUnit, unit.WrongKind: WrongDimension,
		unit.BadDoubt: BadDoubt, unit.UnclearDoubt: BadDoubt, unit.EndsSwapped: BadDoubt,
		unit.NoFlow: BadLoss, unit.NoSuchDay: BadDate, unit.NoMoney: BadMoney, unit.NoSuchTime: BadHours, unit.NotASize: BadFootprint,
	}[e.Problem]
	if code == nil {
		code = BadQuantity
	}
	what, cure := e.Error(), forExample(l.example)
	switch {
	case e.Write != "":
		what, cure = strings.TrimSuffix(what, ": write "+e.Write), "Write "+e.Write+"."
	case e.Nearest != "":
		what, cure = strings.TrimSuffix(what, ": did you mean "+e.Nearest+"?"), "Did you mean "+e.Nearest+"?"
	}
	f := d.fault(n, code, what, cure)
	if n.plain && e.Offset < len(n.text) && e.Word != "" && e.Text == n.text && !strings.Contains(n.text, "\n") {
		skip := utf8.RuneCountInString(n.text[:e.Offset])
		f.Pos.Column += skip
		f.span = max(1, utf8.RuneCountInString(e.Word))
	}
}

// text reads a word of a list, a name, or free text.
func (d *decoder) text(n *node, f *field, dst reflect.Value) {
	l := leafOf[dst.Type()]
	if f != nil && f.def != "" && n.unsaid() {
		d.fault(n, BadName, "the name of the "+f.def+" is missing", "Give it one in your own words; the chart and the sensors speak of it.")
		return
	}
	if !d.scalar(n, f, l) {
		return
	}
	if n.word("unknown") {
		return
	}
	if n.word("true") || n.word("false") {
		d.fault(n, YAMLWord, "YAML readers take `"+n.text+"` for yes or no, and "+l.what+" belongs here", "If it is the text itself, put it in quotes.")
		return
	}
	switch {
	case f == nil:
	case f.of != nil:
		if !contains(f.of, n.text) {
			cure := "Write " + orList(f.of) + "."
			if near := nearest(n.text, f.of); near != "" {
				cure = "Did you mean `" + near + "`? " + cure
			}
			d.fault(n, NotOneOf, "`"+short(n.text)+"` is not understood here", cure)
			return
		}
	case f.def != "":
		d.nameOf(n, f)
	case f.ref != "":
		d.use(n, f.ref, n.text)
	case f.kinds != "":
		d.use(n, "kind/"+f.kinds, n.text)
	}
	dst.SetString(n.text)
}

func forExample(example string) string {
	if strings.ToUpper(example[:1]) == example[:1] && example[0] >= 'A' && example[0] <= 'Z' {
		return "Write " + example + "."
	}
	return "For example " + example + "."
}

func (d *decoder) path(n *node, f *field, dst reflect.Value) {
	if !d.scalar(n, f, leafOf[dst.Type()]) || n.unsaid() {
		return
	}
	for _, k := range strings.Split(n.text, "/") {
		if strings.TrimSpace(k) == "" {
			d.fault(n, EditPath, "`"+short(n.text)+"` is not a path", "A path is keys joined by /, such as machines/planer/port/size.")
			return
		}
	}
	dst.SetString(n.text)
}

func (d *decoder) count(n *node, f *field, dst reflect.Value) {
	if !d.scalar(n, f, leafOf[dst.Type()]) || n.unsaid() {
		return
	}
	i, err := strconv.Atoi(n.text)
	switch {
	case err != nil || i < 0 || i > 1e9 || n.text[0] == '+' || len(n.text) > 1 && n.text[0] == '0':
		d.fault(n, NotACount, "`"+short(n.text)+"` is not a whole number", "Write a whole number without a unit, such as 1.")
	default:
		dst.SetInt(int64(i))
	}
}

func (d *decoder) flag(n *node, f *field, dst reflect.Value) {
	if !d.scalar(n, f, leafOf[dst.Type()]) || n.unsaid() {
		return
	}
	switch n.text {
	case "true":
		dst.SetBool(true)
	case "false":
	default:
		d.fault(n, NotTrueFalse, "`"+short(n.text)+"` is neither true nor false", "Write true or false.")
	}
}

// budget reads a sum, or a sum every so often.
func (d *decoder) budget(n *node, f *field, dst reflect.Value) {
	if !d.scalar(n, f, leafOf[dst.Type()]) || n.unsaid() {
		return
	}
	if sum, err := unit.ParseMoney(n.text); err == nil {
		dst.Set(reflect.ValueOf(shop.Budget{Sum: sum}))
		return
	}
	each, err := unit.ParseMoneyPer[unit.Second](n.text)
	if err != nil {
		d.unread(n, err, leafOf[dst.Type()])
		return
	}
	dst.Set(reflect.ValueOf(shop.Budget{Each: each}))
}

// point reads [east, north] or [east, north, height].
func (d *decoder) point(n *node, f *field, dst reflect.Value) {
	if n.unsaid() {
		return
	}
	if n.form != list || len(n.items) < 2 || len(n.items) > 3 {
		what := n.shown() + ", where a point belongs"
		if n.form == list {
			what = count(len(n.items), "number stands here", "numbers stand here") + ", and a point has two or three"
		}
		d.fault(n, BadPoint, what, "Write [east, north] or [east, north, height], such as [16 ft, 8 ft].")
		return
	}
	p := shop.Point{Basis: unit.Given}
	ok := true
	p.East, ok = d.plainLength(n.items[0], ok)
	p.North, ok = d.plainLength(n.items[1], ok)
	if len(n.items) == 3 {
		before := len(d.faults)
		d.value(n.items[2], grammarOf(reflect.TypeFor[unit.Amount[unit.Metre]]()), nil, reflect.ValueOf(&p.Height).Elem())
		ok = ok && len(d.faults) == before
	}
	if ok {
		dst.Set(reflect.ValueOf(p))
	}
}

// plainLength reads a coordinate: a length without doubt.
func (d *decoder) plainLength(n *node, ok bool) (unit.Metre, bool) {
	a, good := plain[unit.Metre](d, n)
	return a, ok && good
}

// plain reads a number that has no doubt of its own.
func plain[T unit.Real](d *decoder, n *node) (T, bool) {
	l := leafOf[reflect.TypeFor[unit.Amount[T]]()]
	if n.unsaid() || n.form == scalar && (n.text == "none" || n.text == "drawn") {
		d.fault(n, BadPoint, "every number of a point is needed", "For example "+l.example+"; or leave the whole point out.")
		return 0, false
	}
	if !d.scalar(n, nil, l) {
		return 0, false
	}
	a, err := unit.Parse[T](n.text)
	if err != nil {
		d.unread(n, err, l)
		return 0, false
	}
	if a.Low != a.High {
		d.fault(n, DoubtNotHere, "the numbers of a point carry no doubt of their own", "Write the number alone.")
		return 0, false
	}
	return a.Best, true
}

func (d *decoder) fanPoint(n *node, f *field, dst reflect.Value) {
	if n.form != list || len(n.items) != 2 {
		d.fault(n, BadCurve, "a point of a curve is an airflow and a pressure", "Write [400 cfm, 8.9 inH2O].")
		return
	}
	q, ok := plain[unit.M3PerSec](d, n.items[0])
	p, ok2 := plain[unit.Pascal](d, n.items[1])
	if !ok || !ok2 {
		return
	}
	if q < 0 || p < 0 {
		d.fault(n, BadCurve, "a point of the curve is below zero", "Write the curve between shut (0 cfm) and free air (0 inH2O).")
		return
	}
	dst.Set(reflect.ValueOf(shop.FanPoint{Flow: q, Pressure: p}))
}

func (d *decoder) footprint(n *node, f *field, dst reflect.Value) {
	if !d.scalar(n, f, leafOf[dst.Type()]) || n.unsaid() {
		return
	}
	w, depth, err := unit.ParseSides(n.text)
	switch {
	case err != nil:
		d.unread(n, err, leafOf[dst.Type()])
	case w.Low != w.High || depth.Low != depth.High:
		d.fault(n, DoubtNotHere, "the sides of a footprint carry no doubt", "Write the two lengths alone.")
	default:
		dst.Set(reflect.ValueOf(shop.Footprint{Width: w.Best, Depth: depth.Best, Basis: unit.Given}))
	}
}

// from reads where a run starts.
func (d *decoder) from(n *node, f *field, dst reflect.Value) {
	if n.unsaid() {
		return
	}
	from := shop.From{Basis: unit.Given}
	items := []*node{n}
	if n.form == list {
		items = n.items
	}
	for _, c := range items {
		if !d.scalar(c, f, leafOf[dst.Type()]) {
			return
		}
		split, isSplit := strings.CutPrefix(c.text, "split ")
		switch {
		case n.form == list && (c.text == "cap" || isSplit):
			d.fault(c, WrongShape, "`"+c.text+"` is no machine, and the list names machines that share a carried hose", "Write from: "+c.text+" without the list, or name machines.")
			return
		case c.word("cap"):
			from.Cap = true
		case isSplit:
			from.Split = split
			d.use(c, "split", split)
		case c.word("none"):
			d.fault(c, NoneNotHere, "a run always starts somewhere", "Write cap if its end is closed; leave `from` out if it starts with a wye.")
			return
		default:
			machine, port, _ := strings.Cut(c.text, "/")
			from.Ports = append(from.Ports, shop.PortRef{Machine: machine, Port: port})
			d.use(c, "source", c.text)
		}
	}
	if n.form == list && len(items) == 0 {
		from.Basis = unit.Unsaid
	}
	dst.Set(reflect.ValueOf(from))
}

// level is a threshold in what the sensor reads.
func (d *decoder) level(n *node, f *field, dst reflect.Value) {
	l := leafOf[dst.Type()]
	if !d.scalar(n, f, l) || n.unsaid() {
		return
	}
	if a, err := unit.Parse[unit.Ampere](n.text); err == nil && a.Basis == unit.Given {
		dst.Set(reflect.ValueOf(shop.Level{Current: a}))
		return
	}
	p, err := unit.Parse[unit.Pascal](n.text)
	if err != nil || p.Basis != unit.Given {
		d.fault(n, WrongDimension, fmt.Sprintf("`%s` is neither a current nor a pressure", short(n.text)), "Write 1.5 A, or 0.8 inH2O.")
		return
	}
	dst.Set(reflect.ValueOf(shop.Level{Pressure: p}))
}

func (d *decoder) anything(n *node, f *field, dst reflect.Value) {
	v := valueOf(n)
	dst.Set(reflect.ValueOf(&v))
}

// valueOf is a node as data.
func valueOf(n *node) shop.Value {
	switch n.form {
	case list:
		v := shop.Value{Kind: shop.List, Items: make([]shop.Value, len(n.items))}
		for i, c := range n.items {
			v.Items[i] = valueOf(c)
		}
		return v
	case dict:
		v := shop.Value{Kind: shop.Map, Keys: make([]string, len(n.keys)), Items: make([]shop.Value, len(n.items))}
		for i, c := range n.items {
			v.Keys[i], v.Items[i] = n.keys[i].text, valueOf(c)
		}
		return v
	}
	return shop.Value{Text: n.text}
}
