/*
 * config.h - which parts of the player are built: here the compiler's command line says so. With the firmware goes a file of
 * this name that `pageloom build` makes for its shows.
 */
#if !defined PAGELOOM_DENSE && !defined PAGELOOM_AREAS_ALONE
#define PAGELOOM_WINDOWS
#endif
