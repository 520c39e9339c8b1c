     0.00 s  power on
     0.00 s      stop cyclone                                 rule 9
     0.00 s      open idle gate                               rule 5
     0.00 s      shut A gate                                  rule 3
     0.00 s      shut B gate                                  rule 3
    35.00 s  A gate jams
    40.00 s  A on
    40.50 s      open A gate                                  rule 2
    40.50 s      shut idle gate                               rule 5
    42.00 s  idle gate is shut
    45.00 s      alarm: a gate did not arrive                 rule 14
    48.50 s      alarm: a machine runs without extraction     rule 11
    60.00 s  A off
    62.00 s      over: a machine runs without extraction      rule 11
    70.00 s  B on
    70.50 s      open B gate                                  rule 2
    72.00 s  B gate is open
    72.00 s      run cyclone                                  rule 2
    75.00 s      lamp: ready                                  rule 2
    77.00 s      shut A gate                                  rule 3
    90.00 s  B off
    92.00 s      lamp: wait                                   rule 2
   122.00 s      open idle gate                               rule 5
   122.00 s      stop cyclone                                 rule 4
   123.50 s  idle gate is open
   123.50 s      shut B gate                                  rule 3
   125.00 s  B gate is shut
   152.00 s  the fan stands
   200.00 s  A gate frees
   205.00 s  seen
   205.00 s      over: a gate did not arrive                  rule 11
   210.00 s  A on
   210.50 s      open A gate                                  rule 2
   210.50 s      shut idle gate                               rule 5
   212.00 s  A gate is open
   212.00 s      run cyclone                                  rule 2
   212.00 s  idle gate is shut
   215.00 s      lamp: ready                                  rule 2
   240.00 s  A off
   242.00 s      lamp: wait                                   rule 2
   257.00 s      open idle gate                               rule 5
   257.00 s      stop cyclone                                 rule 4
   258.50 s  idle gate is open
   258.50 s      shut A gate                                  rule 3
   260.00 s  A gate is shut
   287.00 s  the fan stands
