/* Two machines, a gate each, a gate left open when idle, one fan: the controller written a second time, apart from the Go, for spin.
 * Gates 0 and 1 belong to the machines, gate 2 is left open. Any event may come at any time; a word of an end switch may be late.
 * MUTANT seeds the fault of that rule; 0 is the controller as it should be. */
#ifndef MUTANT
#define MUTANT 0
#endif

#define STANDS 0
#define RUNS 1
#define COASTS 2

bool on[2];       /* recognised as running */
bool keep[2];     /* keeps the fan running */
bool told[3];     /* to open */
bool there[3];    /* really at the open end */
bool said[3];     /* what its switch last said to us since it was told */
byte fan = STANDS;
byte i;
bool want[3];

#define sure(g) (told[g] && said[g])
#define anywant (on[0] || keep[0] || on[1] || keep[1])

inline shut(g) {
  /* rules 1 and 5: while the fan turns, another gate is known to be open and stays */
  assert(fan == STANDS || sure((g+1)%3) || sure((g+2)%3));
  told[g] = false; said[g] = false
}

inline open(g) { told[g] = true; said[g] = false; if :: there[g] -> said[g] = true :: else fi }

inline start() {
  /* rule 2: the gate of a machine that runs is known to be open */
  assert((on[0] && sure(0)) || (on[1] && sure(1)));
  fan = RUNS
}

inline stop() {
  /* rule 4: nobody runs, and nobody keeps it running */
  assert(!anywant);
  fan = COASTS
}

inline decide() {
  want[0] = on[0] || keep[0];
  want[1] = on[1] || keep[1];
  want[2] = !anywant;
  i = 0;
  do
  :: i < 3 && want[i] && !told[i] -> open(i);
     if
     :: MUTANT == 3 && fan == RUNS && told[(i+1)%3] && sure((i+2)%3) -> assert(!want[i] || sure(i)); shut((i+1)%3)
     :: else
     fi;
     i++
  :: i < 3 && !(want[i] && !told[i]) -> i++
  :: i >= 3 -> break
  od;
  if
  :: fan != RUNS && ((on[0] && (sure(0) || MUTANT == 2)) || (on[1] && (sure(1) || MUTANT == 2))) -> start()
  :: fan == RUNS && (!anywant || (MUTANT == 4 && !on[0] && !on[1])) -> stop();
     if
     :: MUTANT == 5 -> if :: told[0] -> shut(0) :: else fi; if :: told[1] -> shut(1) :: else fi; if :: told[2] -> shut(2) :: else fi
     :: else
     fi
  :: else
  fi;
  if
  :: MUTANT == 1 && fan != STANDS -> /* each judged by what was known before either was told */
     if
     :: !want[0] && told[0] && !want[1] && told[1] && sure(0) && sure(1) -> told[0] = false; shut(1)
     :: else
     fi
  :: else
  fi;
  if
  :: fan == STANDS || ((!want[0] || sure(0)) && (!want[1] || sure(1)) && (!want[2] || sure(2))) ->
     i = 0;
     do
     :: i < 3 && !want[i] && told[i] -> shut(i); i++
     :: i < 3 && !(!want[i] && told[i]) -> i++
     :: i >= 3 -> break
     od
  :: else
  fi
}

/* the truth, with nothing broken: the fan never turns against shut gates */
#define dead (fan == RUNS && !there[0] && !there[1] && !there[2])

init {
  told[2] = true; there[2] = true; said[2] = true;
  do
  :: atomic { !on[0] -> on[0] = true; keep[0] = false; decide() }
  :: atomic { on[0] -> on[0] = false; keep[0] = true; decide() }
  :: atomic { keep[0] -> keep[0] = false; decide() }
  :: atomic { !on[1] -> on[1] = true; keep[1] = false; decide() }
  :: atomic { on[1] -> on[1] = false; keep[1] = true; decide() }
  :: atomic { keep[1] -> keep[1] = false; decide() }
  :: atomic { told[0] && !there[0] -> there[0] = true }
  :: atomic { !told[0] && there[0] -> there[0] = false }
  :: atomic { told[1] && !there[1] -> there[1] = true }
  :: atomic { !told[1] && there[1] -> there[1] = false }
  :: atomic { told[2] && !there[2] -> there[2] = true }
  :: atomic { !told[2] && there[2] -> there[2] = false }
  :: atomic { told[0] && there[0] && !said[0] -> said[0] = true; decide() }
  :: atomic { told[1] && there[1] && !said[1] -> said[1] = true; decide() }
  :: atomic { told[2] && there[2] && !said[2] -> said[2] = true; decide() }
  :: atomic { fan == COASTS -> fan = STANDS; decide() }
  :: atomic { dead -> assert(false) }
  od
}
