/* Registers of the emulated board: Cortex-M3 core timer, and the UART and watchdog
 * of the published Cortex-M design kit. Emulated only; never run on silicon. */
#include "board.h"

#define CLOCK_HZ 25000000u
#define BAUD 38400u

#define REGISTER(address) (*(volatile uint32_t *)(uintptr_t)(address))

/* core timer and interrupt controller (ARMv7-M architecture) */
#define SYSTICK_CONTROL REGISTER(0xE000E010u)
#define SYSTICK_RELOAD REGISTER(0xE000E014u)
#define SYSTICK_VALUE REGISTER(0xE000E018u)
#define INTERRUPT_ENABLE REGISTER(0xE000E100u)
#define UART_SENT_INTERRUPT (1u << 1)

#define UART_DATA REGISTER(0x40004000u)
#define UART_STATE REGISTER(0x40004004u)
#define UART_CONTROL REGISTER(0x40004008u)
#define UART_INTERRUPT REGISTER(0x4000400Cu)
#define UART_DIVIDER REGISTER(0x40004010u)
#define UART_FULL 1u
#define UART_SEND_ON (1u << 0)
#define UART_SENT_INTERRUPT_ON (1u << 2)
#define UART_SENT (1u << 0)

#define WATCHDOG_LOAD REGISTER(0x40008000u)
#define WATCHDOG_CONTROL REGISTER(0x40008008u)
#define WATCHDOG_CLEAR REGISTER(0x4000800Cu)
#define WATCHDOG_LOCK REGISTER(0x40008C00u)
#define WATCHDOG_KEY 0x1ACCE551u
#define WATCHDOG_COUNT_AND_RESET 3u

/* Two of the longest lines. A power of two, so that the ends wrap by themselves. */
#define SEND_ROOM 256u

static volatile uint32_t seconds;
static volatile uint16_t milliseconds;
static volatile uint32_t ticks_ms;

static char send_buffer[SEND_ROOM];
static volatile uint8_t send_from; /* moved by the interrupt */
static volatile uint8_t send_to;   /* moved by the main loop */

void on_tick(void);
void on_byte_sent(void);

void on_tick(void)
{
    uint16_t now = (uint16_t)(milliseconds + 1u);

    if (now == 1000u) {
        now = 0;
        seconds += 1u;
    }
    milliseconds = now;
    ticks_ms += 1u;
    /* the plant does not stand still while the node hangs or restarts */
    board_kept.plant_ms += 1u;
}

static void interrupts_off(void)
{
    __asm__ volatile("cpsid i" ::: "memory");
}

static void interrupts_on(void)
{
    __asm__ volatile("cpsie i" ::: "memory");
}

/* With interrupts off: gives the port what it takes at once. */
static void send_on(void)
{
    while (send_from != send_to && (UART_STATE & UART_FULL) == 0) {
        UART_DATA = (uint8_t)send_buffer[send_from];
        send_from = (uint8_t)((send_from + 1u) % SEND_ROOM);
    }
}

void on_byte_sent(void)
{
    UART_INTERRUPT = UART_SENT;
    send_on();
}

void board_start(void)
{
    SYSTICK_RELOAD = CLOCK_HZ / 1000u - 1u;
    SYSTICK_VALUE = 0;
    SYSTICK_CONTROL = 7u; /* processor clock, interrupt, on */

    UART_DIVIDER = CLOCK_HZ / BAUD;
    UART_CONTROL = UART_SEND_ON | UART_SENT_INTERRUPT_ON;
    INTERRUPT_ENABLE = UART_SENT_INTERRUPT;

    /* the first time-out raises an interrupt, the second resets: half the time each */
    WATCHDOG_LOCK = WATCHDOG_KEY;
    WATCHDOG_LOAD = CLOCK_HZ / 1000u * (WATCHDOG_MS / 2u);
    WATCHDOG_CONTROL = WATCHDOG_COUNT_AND_RESET;
    WATCHDOG_LOCK = 0; /* a program that has run wild shall not switch it off */
}

struct board_time board_now(void)
{
    struct board_time now;

    interrupts_off();
    now.seconds = seconds;
    now.milliseconds = milliseconds;
    interrupts_on();
    return now;
}

uint32_t board_ticks_ms(void)
{
    return ticks_ms;
}

bool board_has_room(size_t count)
{
    size_t waiting = (size_t)(send_to - send_from) % SEND_ROOM;

    /* one place stays free: full and empty would look the same */
    return count < SEND_ROOM - waiting;
}

void board_send(const char *bytes, size_t count)
{
    size_t i;
    uint8_t to = send_to;

    for (i = 0; i < count; i += 1) {
        send_buffer[to] = bytes[i];
        to = (uint8_t)((to + 1u) % SEND_ROOM);
    }
    interrupts_off();
    send_to = to;
    send_on();
    interrupts_on();
}

void board_feed_watchdog(void)
{
    WATCHDOG_LOCK = WATCHDOG_KEY;
    WATCHDOG_CLEAR = 1u;
    WATCHDOG_LOCK = 0;
}

void board_sleep(void)
{
    __asm__ volatile("wfi");
}
