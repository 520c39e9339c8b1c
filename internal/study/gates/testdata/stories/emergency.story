     0.00 s  power on
     0.00 s      stop cyclone                                 rule 9
     0.00 s      open idle gate                               rule 5
     0.00 s      shut A gate                                  rule 3
     0.00 s      shut B gate                                  rule 3
    40.00 s  A on
    40.50 s      open A gate                                  rule 2
    40.50 s      shut idle gate                               rule 5
    42.00 s  A gate is open
    42.00 s      run cyclone                                  rule 2
    42.00 s  idle gate is shut
    45.00 s      lamp: ready                                  rule 2
    50.00 s  emergency stop
    50.00 s      stop cyclone                                 rule 7
    50.00 s      lamp: wait                                   rule 2
    58.00 s      alarm: a machine runs without extraction     rule 11
    60.00 s  emergency released
    60.00 s      open idle gate                               rule 5
    61.50 s  idle gate is open
    61.50 s      shut A gate                                  rule 3
    63.00 s  A gate is shut
    70.00 s  A off
    72.00 s      over: a machine runs without extraction      rule 11
    75.00 s  selector hand
    90.00 s  B on
    90.50 s      open B gate                                  rule 2
    92.00 s  B gate is open
    92.00 s      shut idle gate                               rule 3
    92.00 s      lamp: ready                                  rule 2
    93.50 s  idle gate is shut
   110.00 s  B off
   112.00 s      lamp: wait                                   rule 2
   115.00 s  selector auto
   115.00 s      stop cyclone                                 rule 7
   142.00 s      open idle gate                               rule 5
   143.50 s  idle gate is open
   143.50 s      shut B gate                                  rule 3
   145.00 s  the fan stands
   145.00 s  B gate is shut
   170.00 s  lock
   170.00 s      stop cyclone                                 rule 7
   175.00 s  B on
   175.50 s      alarm: a machine ran before anybody saw it start rule 9
   183.50 s      alarm: a machine runs without extraction     rule 11
   185.00 s  unlock
   200.00 s  B off
   202.00 s      over: a machine ran before anybody saw it start rule 9
   202.00 s      over: a machine runs without extraction      rule 11
   205.00 s  B on
   205.50 s      open B gate                                  rule 2
   205.50 s      shut idle gate                               rule 5
   207.00 s  B gate is open
   207.00 s      run cyclone                                  rule 2
   207.00 s  idle gate is shut
   210.00 s      lamp: ready                                  rule 2
