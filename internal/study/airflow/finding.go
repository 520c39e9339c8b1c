package airflow

import "winnow/internal/shop"

// The findings of this study. A test demands a sentence, help and a shop that brings about each.
var (
	codeNoSystem = &shop.Code{Name: "no-such-system", Severity: shop.Problem,
		Sentence: "There is no extraction system called {system}.", Help: "Name one of those under systems."}
	codeNoMain = &shop.Code{Name: "no-main-run", Severity: shop.Problem,
		Sentence: "{system} has no run called main, so nothing leads to its inlet.", Help: "Call the run that ends at the inlet main."}
	codeNoRun = &shop.Code{Name: "no-such-run", Severity: shop.Problem,
		Sentence: "A wye names the run {run}, which does not exist.", Help: "Write that run, or take its name out of the wye."}
	codeRunLoop = &shop.Code{Name: "run-in-a-circle", Severity: shop.Problem,
		Sentence: "The run {run} flows into itself.", Help: "Each run may come in at one wye, nearer to the inlet."}
	codeNoPort = &shop.Code{Name: "no-such-port", Severity: shop.Problem,
		Sentence: "A run starts at {port}, which has no such port.", Help: "Write the port on the machine, or start the run elsewhere."}
	codeBadPart = &shop.Code{Name: "part-not-computable", Severity: shop.Problem,
		Sentence: "{part} cannot be computed: {why}.", Help: "Mend the part in the file; the rest of the system waits for it."}
	codeCannotSolve = &shop.Code{Name: "system-not-computable", Severity: shop.Problem,
		Sentence: "{system} cannot be computed: {why}.", Help: "Look at the pieces named."}
	codeNotSolved = &shop.Code{Name: "no-balance-found", Severity: shop.Problem,
		Sentence: "For {system} no airflow was found that satisfies every piece ({status}).", Help: "No number is shown rather than a wrong one. Look for a piece of an impossible size near the place named."}
	codeReversed = &shop.Code{Name: "air-runs-backwards", Severity: shop.WatchOut,
		Sentence: "At {wye} air runs backwards through one leg.", Help: "Something else draws harder there: shut that leg's gate."}
	codeSeveralPoints = &shop.Code{Name: "fan-may-jump", Severity: shop.WatchOut,
		Sentence: "The fan of {system} has a hump in its curve and may settle at another airflow than the one shown.", Help: "Run it where its curve falls: a wider or shorter hose moves it there."}
)

func finding(code *shop.Code, where shop.Path, args ...shop.Arg) shop.Finding {
	return shop.Finding{Code: code, Where: where, Args: args}
}
