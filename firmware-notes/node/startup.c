/* From reset to main on a Cortex-M core, without a C library. */
#include <stdint.h>

/* Free stack holds this, so that a look at the memory shows how deep it ever went. */
#define STACK_PAINT 0x5AA55AA5u

/* places named in layout.ld */
extern uint32_t data_load, data_start, data_end, bss_start, bss_end;
extern uint32_t stack_bottom, stack_top;

int main(void);
void on_tick(void);
void on_byte_sent(void);
void on_reset(void);
void on_fault(void);

/* Nothing can be saved here: the watchdog is no longer fed and resets the node.
 * It is also where the watchdog's warning half-way leads. */
void on_fault(void)
{
    for (;;) {
    }
}

void on_reset(void)
{
    uint32_t *to;
    const uint32_t *from = &data_load;

    for (to = &data_start; to < &data_end; to += 1) {
        *to = *from;
        from += 1;
    }
    for (to = &bss_start; to < &bss_end; to += 1) {
        *to = 0;
    }
    /* below what this function itself uses */
    for (to = &stack_bottom; to < (uint32_t *)__builtin_frame_address(0) - 16; to += 1) {
        *to = STACK_PAINT;
    }
    (void)main();
    on_fault();
}

struct vectors {
    uint32_t *stack;
    void (*handlers[17])(void);
};

__attribute__((section(".vectors"), used)) static const struct vectors vectors = {
    &stack_top,
    {
        on_reset, on_fault, on_fault, on_fault, on_fault, on_fault, /* reset, NMI, faults */
        0, 0, 0, 0, on_fault, on_fault, 0, on_fault, on_tick,       /* core */
        on_fault, on_byte_sent,                                     /* receive, send */
    },
};
